import type { Browser } from "playwright-core";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openPtyPair, scaledClock, startSimulatedBench, type PtyPair, type SimulatedBench } from "#bench";
import { twinBench } from "../../src/cli/bench/demo-bench.ts";
import { readCatalog } from "../../src/cli/catalog.ts";
import { home, removeScratch } from "../integration/program.test-support.ts";
import { startStation, type StartedStation } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

let station: StartedStation;
let browser: Browser;
let twin: SimulatedBench;
let silent: PtyPair;

beforeAll(async () => {
  const catalog = readCatalog(home);
  const { ports: _, ...bench } = twinBench(catalog.find(({ entry }) => entry === "scpi-thermometer-readout")!);
  silent = await openPtyPair();
  twin = await startSimulatedBench({
    ...bench,
    entries: catalog,
    clock: scaledClock({ speed: 1 }),
    listen: { serial: bench.instruments.map(({ id }) => id) },
  });
  const path = Object.values(twin.addresses)[0]!.replace("serial:", "");
  [station, browser] = await Promise.all([
    startStation(undefined, {
      pages: join(home, "build/web"),
      serialPorts: async () => [silent.outer, path].map((each) => ({ path: each, about: null })),
    }),
    openBrowser(),
  ]);
});
afterAll(async () => {
  await browser.close();
  await station.stop();
  await twin.close();
  await silent.close();
  await removeScratch();
});

test("a thermometer on an unknown port is found, its values are seen, it is kept, and missed when it is gone", async () => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  const page = await context.newPage();
  const complaints = complaintsOf(page);
  await page.goto(station.address);
  await page.getByRole("link", { name: "Bench" }).click();
  await page.getByText("simulate scpi-thermometer-readout").waitFor();

  await page.getByRole("radio", { name: /^Thermometer readout/ }).check();
  await page.getByRole("button", { name: "Which port is it on?" }).click();
  await page.getByText("did not answer").waitFor({ timeout: 15_000 });
  await page.getByRole("button", { name: /^Take this one/ }).click();
  await page.getByRole("button", { name: "Try it" }).click();

  const live = page.getByRole("region", { name: /^Live values/ });
  await live.getByText(/^Dwellpoint,simulated/).waitFor();
  const shown = live.locator("dd").first();
  await expect.poll(() => shown.textContent(), { timeout: 10_000 }).toMatch(/\d.*Ω/);
  const first = await shown.textContent();
  await expect.poll(() => shown.textContent(), { timeout: 10_000 }).not.toBe(first);
  await page.getByText(/The dialogue, word for word/).click();
  await page.getByRole("cell", { name: "*IDN?" }).first().waitFor();

  await page.getByLabel("Name").fill("readout-1");
  await page.getByRole("button", { name: "Keep it" }).click();
  const line = page.getByLabel("Line for a job file");
  await expect
    .poll(() => line.first().textContent())
    .toMatch(/^- \{id: readout-1, entry: scpi-thermometer-readout, at: serial:.*, role: readout\}$/);

  // Leaving the page lets the line go: the station can ask there at once.
  await page.getByRole("link", { name: "Jobs", exact: true }).click();
  await page.getByRole("heading", { name: "Jobs", exact: true }).waitFor();
  await page.getByRole("link", { name: "Bench" }).click();
  await page.getByRole("button", { name: /^Still there/ }).click();
  await page.getByText("answers", { exact: true }).waitFor();
  await twin.close();
  await page.getByRole("button", { name: /^Still there/ }).click();
  await page.getByText("does not answer", { exact: true }).waitFor({ timeout: 15_000 });
  await page.getByRole("alert").getByText(/Check/).waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

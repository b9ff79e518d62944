/**
 * Takes the pictures of every page anew from a real station with the demo: `docs/screens/PAGE-WIDTH-SCHEME.png`.
 *
 *   npm run screens
 */
import { mkdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { scaledClock, startSimulatedBench } from "#bench";
import { twinBench } from "../src/cli/bench/demo-bench.ts";
import { readCatalog } from "../src/cli/catalog.ts";
import { openBrowser, openPlan } from "../test/journeys/browser.ts";
import { startStation } from "../test/journeys/station-process.ts";

const root = dirname(dirname(fileURLToPath(import.meta.url)));
const folder = join(root, "docs/screens");

const sizes = [
  { width: 1280, height: 800 },
  { width: 820, height: 1180 },
] as const;
const schemes = ["light", "dark"] as const;

/** One picture of what an address shows, in each size and scheme. */
const take = async (
  browser: Browser,
  address: string,
  name: string,
  arrive: (page: Page) => Promise<void>,
): Promise<void> => {
  for (const viewport of sizes) {
    for (const colorScheme of schemes) {
      const page = await browser.newPage({ viewport, colorScheme, reducedMotion: "reduce" });
      await page.goto(address, { waitUntil: "domcontentloaded" });
      await arrive(page);
      await page.waitForTimeout(700);
      await page.screenshot({ path: join(folder, `${name}-${viewport.width}-${colorScheme}.png`) });
      await page.close();
    }
  }
  process.stdout.write(`${name}\n`);
};

mkdirSync(folder, { recursive: true });
const station = await startStation();
const browser = await openBrowser();
const catalog = readCatalog(root);
const { ports: _, ...bench } = twinBench(catalog.find(({ entry }) => entry === "scpi-thermometer-readout")!);
const readout = await startSimulatedBench({ ...bench, entries: catalog, clock: scaledClock({ speed: 1 }) });
try {
  const page = await browser.newPage({ viewport: sizes[0] });
  await page.goto(station.address);
  await openPlan(page).click();
  await page.getByRole("button", { name: "Start the run" }).waitFor();
  const job = new URL(page.url()).pathname;
  const at = (stage: string): string => `${station.address}${job}?stage=${stage}`;

  await take(browser, station.address, "jobs", (shown) => shown.getByRole("heading", { name: "Jobs" }).waitFor());
  await take(browser, at("plan"), "plan", (shown) =>
    shown.getByRole("heading", { name: "Kit", exact: true }).waitFor(),
  );

  // Slowly enough that all pictures show nearly one moment of the wait.
  await page.getByLabel("Speed, times real time").fill("10");
  await page.getByRole("button", { name: "Start the run" }).click();
  await page.getByRole("button", { name: /settling, [3-9]\d %/ }).waitFor({ timeout: 180_000 });
  await take(browser, at("measure"), "measure", async (shown) => {
    await shown.getByRole("img", { name: /^Settling of/ }).waitFor();
    await shown.waitForTimeout(1_200);
  });

  // The other job goes as fast as it can: it has both passes to judge.
  await page.goto(station.address);
  await openPlan(page).click();
  await page.getByLabel("Speed, times real time").fill("2000");
  await page.getByRole("button", { name: "Start the run" }).click();
  await page.getByRole("button", { name: "Judge the results" }).waitFor({ timeout: 120_000 });
  const both = new URL(page.url()).pathname;
  const of = (stage: string): string => `${station.address}${both}?stage=${stage}`;
  await take(browser, of("measure"), "ended", (shown) => shown.getByRole("img", { name: /^Settling of/ }).waitFor());
  await take(browser, of("judge"), "judge", (shown) =>
    shown.getByRole("heading", { name: /What U is made of/ }).waitFor(),
  );
  await take(browser, of("judge"), "origin", async (shown) => {
    await shown
      .getByRole("region", { name: "The chosen stop" })
      .getByRole("button", { name: /^error/ })
      .click();
    await shown
      .getByText(/readings taken/)
      .first()
      .waitFor();
  });
  await take(browser, of("issue"), "issue", async (shown) => {
    await shown.getByLabel("Authorised by").waitFor();
    await shown.waitForTimeout(1_500);
  });
  const recorded = join(root, "examples/recorded-elsewhere");
  await fetch(`${station.address}/api/jobs`, {
    method: "POST",
    headers: { "content-type": "text/plain" },
    body: readFileSync(join(recorded, "job.yaml")),
  });
  await take(browser, `${station.address}/jobs/CV-2611-004?stage=measure`, "readings", async (shown) => {
    await shown.getByRole("button", { name: "Take readings from a file" }).click();
    await shown.getByLabel("Choose a file of readings").setInputFiles(join(recorded, "readings.csv"));
    await shown.getByRole("img", { name: /^Reference from/ }).waitFor();
    await shown.getByRole("button", { name: "Take these readings in" }).scrollIntoViewIfNeeded();
  });
  await take(browser, `${station.address}/kit`, "kit", async (shown) => {
    await shown.getByRole("button", { name: "ref-11", exact: true }).click();
    await shown.getByRole("heading", { name: "Revisions" }).waitFor();
  });
  await take(browser, `${station.address}/bench`, "bench", async (shown) => {
    await shown.getByRole("radio", { name: /^Thermometer readout with/ }).check();
    await shown.getByLabel("Address").fill(Object.values(readout.addresses)[0]!);
    await shown.getByRole("button", { name: "Try it" }).click();
    await shown
      .getByRole("region", { name: /^Live values/ })
      .getByText("Ω", { exact: true })
      .first()
      .waitFor();
    await shown.getByRole("button", { name: "Keep it" }).scrollIntoViewIfNeeded();
  });
  await take(browser, `${station.address}/kit/ref-11/upkeep`, "upkeep", (shown) =>
    shown.getByRole("heading", { level: 1 }).waitFor(),
  );
  await take(browser, `${station.address}/items`, "items", async (shown) => {
    await shown.getByRole("link", { name: "TT-204" }).click();
    await shown.getByRole("heading", { name: "When next" }).waitFor();
  });
  await take(browser, `${station.address}/found-out`, "found-out", async (shown) => {
    await shown.getByLabel("Reference or readout").selectOption({ index: 1 });
    await shown.getByText("How it came about in between").waitFor();
  });
  // A run that is read and set by hand: the set point is to be set first.
  const byHand = { method: "POST", headers: { "content-type": "application/json" } };
  const begun = await fetch(`${station.address}/api/jobs/CV-2611-022/runs`, {
    ...byHand,
    body: JSON.stringify({ speed: 1 }),
  });
  const { run: handRun } = (await begun.json()) as { run: string };
  await fetch(`${station.address}/api/runs/${handRun}/commands`, {
    ...byHand,
    body: JSON.stringify({ command: "start", by: "Orla Penhallow (demo)" }),
  });
  await take(browser, `${station.address}/jobs/CV-2611-022?stage=measure`, "by-hand", (shown) =>
    shown.getByRole("button", { name: /^Pause/ }).waitFor(),
  );
  await take(browser, `${station.address}/certificates`, "certificates", (shown) =>
    shown.getByRole("heading", { name: "Certificates" }).waitFor(),
  );
} finally {
  await browser.close();
  await station.stop();
  await readout.close();
}

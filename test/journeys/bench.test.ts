import type { Browser } from "playwright-core";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openPtyPair, type PtyPair } from "#bench";
import { standExample, startTwin, type StartedTwin } from "../integration/instruments.test-support.ts";
import { exampleText, home, removeScratch } from "../integration/program.test-support.ts";
import { startStation, type StartedStation } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser, tabTo } from "./browser.ts";

let station: StartedStation;
let browser: Browser;
let twin: StartedTwin;
let silent: PtyPair;

beforeAll(async () => {
  silent = await openPtyPair();
  twin = await startTwin("scpi-thermometer-readout", { serial: true });
  const path = twin.at.replace("serial:", "");
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

test("an instrument that a job misses is exchanged for one that is kept, before the start", async () => {
  const { job, text, bench } = await standExample();
  const at = bench.addresses["readout"]!;
  await station.client.addJob(text.replace(at, "tcp://127.0.0.1:1"));
  await station.client.tryInstrument({ entry: "scpi-thermometer-readout", at });
  await station.client.keepInstrument({ name: "spare-readout", entry: "scpi-thermometer-readout", at });
  const page = await browser.newPage({ viewport: { width: 820, height: 1180 } });
  const complaints = complaintsOf(page);
  await page.goto(`${station.address}jobs/${job.job}?stage=plan`);
  await page.getByText("Instrument readout does not answer").waitFor();
  await tabTo(page, page.getByRole("button", { name: /^Use it for this run.*spare-readout/ }));
  await page.keyboard.press("Enter");
  await page.getByText("this run takes spare-readout").waitFor();
  await page.getByRole("button", { name: "Start the run" }).click();
  await page.getByRole("button", { name: /^Pause/ }).waitFor({ timeout: 15_000 });
  const [run] = (await station.client.job(job.job)).runs;
  const { events } = await station.client.events(run!.run, [0]);
  expect(JSON.stringify(events[0])).toContain(at);
  await station.client.command(run!.run, { command: "stop", by: "the test", reason: "seen enough" });
  expect(complaints).toEqual([]);
  await page.close();
  await station.client.letInstrumentGo("spare-readout");
  await bench.close();
});

test("a thermometer on an unknown port is found, its values are seen, it is kept, and missed when it is gone", async () => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  const page = await context.newPage();
  const complaints = complaintsOf(page);
  await page.goto(station.address);
  await page.getByRole("link", { name: "Bench" }).click();
  await page.getByText("simulate scpi-thermometer-readout").waitFor();

  await page.getByRole("radio", { name: /^Thermometer readout with/ }).check();
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

  // A name that is free stands there already.
  await expect.poll(() => page.getByLabel("Name").inputValue()).toBe("readout-1");
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

test("an instrument of the kit is set up by the keyboard alone", async () => {
  const text = (await exampleText("pt100-four-wire"))
    .replace(/^rehearsal: true.*$/m, "")
    .replace(/^job: .*$/m, "job: KEYS-1");
  await station.client.addJob(text);
  const readout = await startTwin("scpi-thermometer-readout");
  const page = await browser.newPage({ viewport: { width: 820, height: 1180 } });
  const complaints = complaintsOf(page);
  await page.goto(station.address);
  await page.getByRole("heading", { name: "Jobs", exact: true }).waitFor();
  await page.keyboard.press("g");
  await page.keyboard.press("b");
  const first = page.getByRole("radio").first();
  await tabTo(page, first);
  const wanted = page.getByRole("radio", { name: /^Thermometer readout with/ });
  for (let presses = 0; presses < 10 && !(await wanted.isChecked()); presses += 1)
    await page.keyboard.press("ArrowDown");
  await tabTo(page, page.getByLabel("Address"));
  await page.keyboard.type(readout.at);
  await tabTo(page, page.getByRole("button", { name: "Try it" }));
  await page.keyboard.press("Enter");
  await page
    .getByRole("region", { name: /^Live values/ })
    .locator("dd")
    .first()
    .waitFor();
  await tabTo(page, page.getByLabel("In the kit it is"));
  await page.keyboard.press("r");
  await expect.poll(() => page.getByLabel("Name").inputValue()).toBe("readout-3");
  await page.getByText("the serial number 30552 of readout-3 does not stand there").waitFor();
  await tabTo(page, page.getByRole("button", { name: "Keep it" }));
  await page.keyboard.press("Enter");
  await page.getByText("Kept as readout-3").waitFor();
  await page.getByText(/^in the kit: .*serial 30552/).waitFor();
  const sideways = await page.locator("html").evaluate((html) => html.scrollWidth - html.clientWidth);
  expect(sideways).toBe(0);
  expect(complaints).toEqual([]);
  await page.close();
  await readout.close();
});

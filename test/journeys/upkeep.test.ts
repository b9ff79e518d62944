import { AxeBuilder } from "@axe-core/playwright";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openRecords } from "#records";
import { keepUpkeep } from "#station";
import { upkeepDocumentSchema } from "#upkeep";
import { unwrap } from "#fault";
import { reference } from "../../src/intake/identity/fixtures/entries.test-support.ts";
import { startTwin, type StartedTwin } from "../integration/instruments.test-support.ts";
import { home, removeScratch, scratch } from "../integration/program.test-support.ts";
import { startStation, type StartedStation } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

let station: StartedStation;
let browser: Browser;
let twin: StartedTwin;

const { revision: _revision, ...entry } = reference().entry;

const resistanceInIce = (): number => {
  const { sensor } = entry;
  if (sensor.kind !== "platinum") throw new Error("another reference");
  return sensor.equation === "its-90" ? sensor.rtpw * 0.999_960_1 : sensor.r0;
};

/** A quarter of an hour in ice, `shift` K off. */
const signalIn = (shift: number, time: readonly number[]): number[] =>
  time.map((second) => resistanceInIce() + 0.39 * (shift + 0.0002 * Math.sin(second)));

const everyFive = Array.from({ length: 121 }, (_, index) => index * 5);

const checkOf = (at: string, shift: number) =>
  upkeepDocumentSchema.parse({
    upkeep: 1,
    kind: "reference-check",
    at,
    by: "Orla Penhallow (demo)",
    reference: { ...entry, revision: 1 },
    point: "ice-point",
    readings: { time: everyFive, signal: signalIn(shift, everyFive) },
  });

beforeAll(async () => {
  const data = join(await scratch(), "data");
  const records = await openRecords(data);
  await records.reviseKit({ kind: "reference", entry, author: "Orla Penhallow (demo)", reason: "first" });
  for (let week = 0; week < 10; week += 1)
    unwrap(
      await keepUpkeep(
        records,
        checkOf(`2026-0${4 + Math.floor(week / 4)}-0${1 + (week % 4) * 2}T08:00:00Z`, 0.0007 * (week % 4)),
        null,
      ),
    );
  await records.close();
  twin = await startTwin("scpi-thermometer-readout");
  [station, browser] = await Promise.all([startStation(data, { pages: join(home, "build/web") }), openBrowser()]);
});
afterAll(async () => {
  await browser.close();
  await station.stop();
  await twin.close();
  await removeScratch();
});

const open = async (page: Page): Promise<string[]> => {
  const complaints = complaintsOf(page);
  await page.goto(new URL(`/kit/${entry.id}/upkeep`, station.address).href);
  await page.getByRole("heading", { name: `Upkeep of ${entry.id}` }).waitFor();
  await page.getByRole("img", { name: /^Shift at the ice point/ }).waitFor();
  return complaints;
};

test("a check by hand: guided, typed, tried, kept, charted, approved", async () => {
  const page = await browser.newPage({ viewport: { width: 820, height: 1180 } });
  const complaints = await open(page);
  await page.getByRole("button", { name: "Check in ice" }).click();
  await page.getByRole("note").getByText("cracks glass").first().waitFor();
  await page.getByLabel("Who makes it").fill("Tamsin Wray (demo)");
  const rows = everyFive.map((time, index) => `${time} ${signalIn(0.03, everyFive)[index]!.toFixed(5)}`).join("\n");
  await page.getByLabel(/^Readings: seconds/).fill(rows);
  await page.getByText("121 readings.").waitFor();
  await page.getByLabel("Resistance, Ω").fill("not a number");
  expect(await page.getByRole("button", { name: "Take this reading now" }).isDisabled()).toBe(true);
  await page.getByRole("button", { name: "What it comes to" }).click();
  const trial = page.getByRole("region", { name: "What it comes to" });
  await trial.getByText(/^\s*(Take it out of service|Repeat the check)\s*$/).waitFor();
  await trial.getByText("What it means at every temperature").waitFor();
  await page.getByRole("button", { name: "Keep it" }).click();
  await page.getByLabel("Your name").fill("Idris Farrowby (demo)");
  await page.getByLabel("Reason, for the record").fill("W held at a second point");
  await page.getByRole("button", { name: "Approve as revision 2" }).click();
  await page.getByText("approved as revision 2").waitFor();
  expect(complaints).toEqual([]);
  await page.close();
});

test("readings are taken from an instrument of the bench, timed by the page", async () => {
  const at = twin.at;
  await station.client.tryInstrument({ entry: "scpi-thermometer-readout", at });
  await station.client.keepInstrument({ name: "readout-7", entry: "scpi-thermometer-readout", at });
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  const complaints = await open(page);
  await page.getByRole("button", { name: "Check in ice" }).click();
  await page.getByLabel("Read from the bench").selectOption("readout-7");
  await page.getByText(/^readout-7 shows\s*\d.*Ω$/).waitFor({ timeout: 15_000 });
  await page.getByRole("button", { name: "Take it now" }).click();
  await page.getByText("1 reading.").waitFor();
  await page.getByRole("button", { name: "Take it every 5 s" }).click();
  await page.getByText("3 readings.").waitFor({ timeout: 20_000 });
  await page.getByRole("button", { name: "Stop taking" }).click();
  const lines = (await page.getByLabel(/^Readings: seconds/).inputValue()).split("\n");
  expect(lines).toHaveLength(3);
  const seconds = lines.map((line) => Number(line.split(" ")[0]));
  expect(seconds[2]! - seconds[1]!).toBeGreaterThan(4);
  expect(complaints).toEqual([]);
  await page.close();
}, 90_000);

test.each([
  [1280, 800, "light"],
  [820, 1180, "dark"],
] as const)("at %i × %i, %s: nothing sideways, nothing that axe minds", async (width, height, colorScheme) => {
  const context = await browser.newContext({ viewport: { width, height }, colorScheme, reducedMotion: "reduce" });
  const page = await context.newPage();
  await open(page);
  await page.getByRole("button", { name: "Pull test" }).click();
  await page.getByRole("button", { name: "Leave it" }).waitFor();
  const sideways = await page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth");
  expect(sideways).toBe(false);
  const { violations } = await new AxeBuilder({ page }).analyze();
  expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(" ")}`)).toEqual([]);
  await context.close();
});

import { AxeBuilder } from "@axe-core/playwright";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openRecords } from "#records";
import { keepUpkeep } from "#station";
import { upkeepDocumentSchema } from "#upkeep";
import { unwrap } from "#fault";
import { reference } from "../../src/intake/identity/fixtures/entries.test-support.ts";
import { home, removeScratch, scratch } from "../integration/program.test-support.ts";
import { startStation, type StartedStation } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

let station: StartedStation;
let browser: Browser;

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
  const pages = process.env["DWELLPOINT_TEST_PAGES"] ?? join(home, "build/web");
  [station, browser] = await Promise.all([startStation(data, { pages }), openBrowser()]);
});
afterAll(async () => {
  await browser.close();
  await station.stop();
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
  if (process.env["UPKEEP_SHOTS"] !== undefined) {
    await page.getByRole("button", { name: "Leave it" }).click();
    await page.waitForTimeout(700);
    await page.screenshot({ path: join(process.env["UPKEEP_SHOTS"], `${width}-${colorScheme}.png`), fullPage: true });
  }
  await context.close();
});

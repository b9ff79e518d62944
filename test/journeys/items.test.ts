import { AxeBuilder } from "@axe-core/playwright";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { parseLog, type RunEvent, type RunOpened } from "#calibration";
import { openRecords } from "#records";
import { home, removeScratch, scratch } from "../integration/program.test-support.ts";
import { startStation, type StartedStation } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

const worked = parseLog((await readFile(join(home, "test/fixtures/uncertainty/worked-run.jsonl"), "utf8")).split("\n"));

/** The worked run of a year, its item reading so much more than then, mV at 41 µV a kelvin. */
const runOf = (run: string, opened: string, more: number): RunEvent[] => {
  const [first, ...rest] = worked as [RunOpened, ...RunEvent[]];
  const drifted = rest.map((event) =>
    event.kind === "readings-taken" && event.channel === "item-1"
      ? { ...event, values: event.values.map((value) => Number((value + more * 0.041).toFixed(4))), wire: undefined }
      : event,
  );
  const kit = { ...first.job.kit, reference: { ...first.job.kit.reference } };
  for (const part of [kit.reference, kit.readout] as const)
    part.calibration = { ...part.calibration, date: `${opened.slice(0, 4)}-01-02`, due: `${opened.slice(0, 4)}-12-30` };
  return [
    { ...first, run, opened, job: { ...first.job, kit } },
    ...drifted.map((event) => JSON.parse(JSON.stringify(event)) as RunEvent),
  ];
};

let station: StartedStation;
let browser: Browser;

beforeAll(async () => {
  const data = join(await scratch(), "data");
  const records = await openRecords(data);
  for (const [year, more] of [
    [2023, -0.3],
    [2024, -0.1],
    [2025, 0.1],
    [2026, 0.25],
  ] as const)
    await records.importLog(runOf(`run-${year}`, `${year}-06-10T08:00:00Z`, more));
  await records.close();
  [station, browser] = await Promise.all([startStation(data, { pages: join(home, "build/web") }), openBrowser()]);
});
afterAll(async () => {
  await browser.close();
  await station.stop();
  await removeScratch();
});

test("an item's errors over the years, its drift, and when it is due by that", async () => {
  const context = await browser.newContext({ viewport: { width: 820, height: 1180 } });
  const page = await context.newPage();
  const complaints = complaintsOf(page);
  await page.goto(new URL("/items", station.address).href);
  await page.getByLabel("Search").fill("retort tt-101");
  await page.getByText("1 of 1 fit").waitFor();
  await page.getByRole("link", { name: "TT-101" }).click();
  await page.getByRole("heading", { name: "When next" }).waitFor();
  await page.getByRole("radio", { name: "100 °C" }).check();
  expect(await page.getByRole("img").getAttribute("aria-label")).toMatch(
    /^Errors of TT-101 at 100 °C over the years\. 2023-06-10 as found .* proposed by 20\d\d-\d\d-10$/,
  );
  const drift = await page.getByText(/^Drift \+0\.\d+ K a year/).textContent();
  // 0.55 K in three years, by the slope of a type K thermocouple near 41 µV/K.
  expect(Number(/\+(0\.\d+)/.exec(drift!)![1])).toBeCloseTo(0.185, 1);
  expect(await page.getByRole("region", { name: "Over the years" }).getByRole("row").count()).toBe(5);
  const axe = await new AxeBuilder({ page }).analyze();
  expect(axe.violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
  expect(await page.evaluate("document.documentElement.scrollWidth - window.innerWidth")).toBeLessThanOrEqual(0);
  expect(complaints).toEqual([]);
  await context.close();
});

test("the same by the API, and an item that nobody measured", async () => {
  const { client } = station;
  expect(await client.items()).toMatchObject([{ tag: "TT-101", serial: "demo-0001", runs: 4, lastRun: "run-2026" }]);
  const history = await client.itemHistory("item-k", "demo-0001");
  expect(history.calibrations.map(({ day }) => day)).toEqual(["2023-06-10", "2024-06-10", "2025-06-10", "2026-06-10"]);
  expect(history.rehearsals).toBe(true);
  expect(history.proposal.methods.map(({ method }) => method)).toEqual(["staircase", "drift", "reliability"]);
  expect(history.ahead.map(({ nominal, expected }) => [nominal, expected.at(-1)!.day])).toEqual([
    [0, history.proposal.due],
    [100, history.proposal.due],
  ]);
  await expect(client.itemHistory("item-k", "another")).rejects.toMatchObject({ status: 404 });
});

import { AxeBuilder } from "@axe-core/playwright";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { parseLog, type RunEvent, type RunOpened } from "#calibration";
import { openRecords } from "#records";
import { home, removeScratch, scratch } from "../integration/program.test-support.ts";
import { startStation, type StartedStation } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

const worked = parseLog((await readFile(join(home, "test/fixtures/uncertainty/worked-run.jsonl"), "utf8")).split("\n"));

const runOf = (run: string, opened: string): RunEvent[] => {
  const [first, ...rest] = worked as [RunOpened, ...RunEvent[]];
  return [{ ...first, run, opened }, ...rest];
};

let station: StartedStation;
let browser: Browser;

beforeAll(async () => {
  const data = join(await scratch(), "data");
  const records = await openRecords(data);
  for (const [run, opened] of [
    ["early", "2026-02-01T08:00:00Z"],
    ["late", "2026-10-30T08:00:00Z"],
  ] as const)
    await records.importLog(runOf(run, opened));
  await records.close();
  [station, browser] = await Promise.all([startStation(data, { pages: join(home, "build/web") }), openBrowser()]);
});
afterAll(async () => {
  await browser.close();
  await station.stop();
  await removeScratch();
});

const fill = async (page: Page, add: string): Promise<void> => {
  await page.goto(new URL("/found-out", station.address).href);
  await page.getByLabel("Reference or readout").selectOption({ value: "ref-7/demo-ref" });
  await page.getByLabel("Found out on").fill("2026-11-01");
  await page.getByLabel("where it read, row 1").fill("0");
  await page.getByLabel("what must be added, row 1").fill(add);
  await page.getByRole("radio", { name: /^Evenly, day by day/ }).check();
  await page.getByLabel("Reason, for the record").fill("recalibration DEMO-2231");
  await page.getByRole("checkbox", { name: "rehearsals too" }).check();
};

test("a reference was found out: what moves, who is to be told, kept in the records", async () => {
  const context = await browser.newContext({ viewport: { width: 820, height: 1180 } });
  const page = await context.newPage();
  const complaints = complaintsOf(page);
  await fill(page, "0,4");
  // The last good evidence is the calibration, unless somebody knows better.
  expect(await page.getByLabel("Last good evidence").inputValue()).toBe("2026-01-12");
  await page.getByRole("button", { name: "See what moves" }).click();
  await page.getByRole("heading", { name: "4 results of 2 runs evaluated again" }).waitFor();
  const found = page.getByRole("region", { name: "Result by result" });
  expect(await found.getByRole("region").first().getAttribute("aria-label")).toBe("Run late");
  // 291 of 293 days of 0.4 K.
  await found.getByText("−0.40 K").first().waitFor();
  await page.getByRole("region", { name: "To be told" }).getByText("Marrow & Finch (demo)").waitFor();
  const axe = await new AxeBuilder({ page }).analyze();
  expect(axe.violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
  expect(await page.evaluate("document.documentElement.scrollWidth - window.innerWidth")).toBeLessThanOrEqual(0);
  await page.getByLabel("Kept by").fill("Demo technician");
  await page.getByRole("button", { name: "Keep in the records" }).click();
  await page.getByText("Kept in the records as finding 1 of the suspect.").waitFor();
  expect(complaints).toEqual([]);
  await context.close();
});

test("what is not filled in is named, and nothing can be begun", async () => {
  const page = await browser.newPage();
  await fill(page, "much");
  await page.getByText("Still wanted: numbers in row 1.").waitFor();
  expect(await page.getByRole("button", { name: "See what moves" }).isDisabled()).toBe(true);
  await page.close();
});

test("the list comes as a table, and a trace that nobody began is not there", async () => {
  const { client } = station;
  expect(await client.suspects()).toMatchObject([
    { kind: "readout", entry: "readout-2", units: ["Ω", "mV", "mA", "°C"], runs: 2 },
    { kind: "reference", entry: "ref-7", serial: "demo-ref", units: ["K"], runs: 2 },
  ]);
  const sensor = await client.suspectSensor("ref-7", 1);
  const begun = await client.beginTrace({
    suspicion: {
      kit: { kind: "reference", serial: "demo-ref" },
      good: "2026-01-12",
      bad: "2026-11-01",
      correction: { kind: "coefficients", sensor, u: 0 },
      course: { kind: "step" },
      significant: 0.1,
      reason: "nothing was wrong",
    },
    rehearsals: true,
  });
  await expect.poll(async () => (await client.trace(begun.trace)).state, { timeout: 20_000 }).toBe("done");
  const { found } = await client.trace(begun.trace);
  expect(found!.count).toMatchObject({ runs: 2, results: 4, act: 0, stands: 4 });
  const csv = await station.fetch(`/api/traces/${begun.trace}/list.csv`);
  expect(csv.headers.get("content-type")).toContain("text/csv");
  expect((await csv.text()).split("\r\n")).toHaveLength(6);
  await expect(client.trace("trace-99")).rejects.toMatchObject({ status: 404 });
});

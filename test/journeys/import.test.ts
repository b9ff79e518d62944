import type { Browser } from "playwright-core";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { home, removeScratch } from "../integration/program.test-support.ts";
import { startStation, type StartedStation } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

let station: StartedStation;
let browser: Browser;

const folder = join(home, "examples/recorded-elsewhere");

beforeAll(async () => {
  [station, browser] = await Promise.all([startStation(undefined, { pages: join(home, "build/web") }), openBrowser()]);
  await station.client.addJob(await readFile(join(folder, "job.yaml"), "utf8"));
});
afterAll(async () => {
  await browser.close();
  await station.stop();
  await removeScratch();
});

test("a workbook of a recorder becomes a judged result, its bad rows named on the way", async () => {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, timezoneId: "Europe/Paris" });
  const complaints = complaintsOf(page);
  await page.goto(`${station.address}jobs/CV-2611-004?stage=measure`);
  await page.getByRole("button", { name: "Take readings from a file" }).click();
  const choose = page.getByLabel("Choose a file of readings");

  // A file whose rows are not all right: each is named, and nothing can be taken in.
  const text = await readFile(join(folder, "readings.csv"), "utf8");
  await choose.setInputFiles({
    name: "broken.csv",
    mimeType: "text/csv",
    buffer: Buffer.from(text.replace("101.702", "1o1.702")),
  });
  await page.getByText("line 2", { exact: true }).waitFor();
  await page.getByText(/expected a number, found "1o1\.702"/).waitFor();
  expect(await page.getByRole("button", { name: "Take these readings in" }).isDisabled()).toBe(true);

  // A workbook: its columns are guessed, what is not guessed is said.
  await choose.setInputFiles(join(home, "test/fixtures/readings/wide.xlsx"));
  await page.getByText("guess from their names").waitFor();
  await expect.poll(() => page.getByLabel("What Datum/Zeit is").inputValue()).toBe("time");
  expect(await page.getByLabel("What Referenz (Ohm) is").inputValue()).toBe("channel:reference");
  await page.getByLabel("What Prüfling is").selectOption({ label: "TT-221, in Ω" });
  await page.getByText("The file itself says which readings count").waitFor();
  await page.getByRole("img", { name: /^Reference from/ }).waitFor();
  await page.getByRole("button", { name: "Take these readings in" }).click();
  await page.getByRole("heading", { name: /What U is made of/ }).waitFor({ timeout: 20_000 });
  await page
    .getByText(/^(pass|fail|undecided)$/)
    .first()
    .waitFor();
  const [run] = (await station.client.job("CV-2611-004")).runs;
  expect(run).toMatchObject({ outcome: "completed", measured: 3 });
  expect(complaints).toEqual([]);
  await page.close();
});

test("a file that says nothing of points has its windows found, set right by the keyboard, and is remembered", async () => {
  const [, ...lines] = (await readFile(join(folder, "readings.csv"), "utf8")).trim().split("\n");
  const cells = lines.map((line) => line.split(","));
  const items = cells.filter(([, channel]) => channel === "item-1");
  const recorder = [
    "time;Ref;TT-221",
    ...cells
      .filter(([, channel]) => channel === "reference")
      .map(([time, , value], index) => `${time!.replace("11-24", "11-23")};${value};${items[index]?.[2] ?? ""}`),
  ].join("\n");
  const page = await browser.newPage({ viewport: { width: 820, height: 1180 } });
  const complaints = complaintsOf(page);
  await page.goto(`${station.address}jobs/CV-2611-004?stage=plan`);
  const offer = page.getByRole("button", { name: "Take readings from a file" });
  await offer.focus();
  await page.keyboard.press("Enter");
  const choose = page.getByLabel("Choose a file of readings");
  await choose.setInputFiles({ name: "recorder.csv", mimeType: "text/csv", buffer: Buffer.from(recorder) });
  await page.getByText("These stretches were found").waitFor();
  const to = page.getByLabel("60 °C as found, to");
  const before = await to.inputValue();
  const from = await page.getByLabel("60 °C as found, from").inputValue();
  await to.fill(from);
  await page.keyboard.press("Enter");
  await page.getByText("ends before it begins").waitFor();
  await to.fill(before);
  await page.keyboard.press("Enter");
  await page.getByText("These stretches are as you set them").waitFor();
  await page.getByRole("button", { name: /^Leave out.*120 °C/ }).click();
  await page.getByText("it will stand as skipped").waitFor();
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByText("These stretches were found").waitFor();
  const sideways = await page.locator("html").evaluate((html) => html.scrollWidth - html.clientWidth);
  expect(sideways).toBe(0);
  await page.getByRole("button", { name: "Take these readings in" }).click();
  await page.getByRole("heading", { name: /What U is made of/ }).waitFor({ timeout: 20_000 });

  await page.goto(`${station.address}jobs/CV-2611-004?stage=plan`);
  await page.getByRole("button", { name: "Take readings from a file" }).click();
  await choose.setInputFiles({ name: "next.csv", mimeType: "text/csv", buffer: Buffer.from(recorder) });
  await page.getByText("taken in before: its columns mean the same").waitFor();
  expect(complaints).toEqual([]);
  await page.close();
});

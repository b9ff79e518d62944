import { AxeBuilder } from "@axe-core/playwright";
import { readFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test, vi } from "vitest";
import { openBrowser } from "./browser.ts";
import { startStation, type StationProcess } from "./station-process.ts";

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

let station: StationProcess;
let browser: Browser;
let running = "";
let finished = "";
let missing = "";

interface Summary {
  readonly job: string;
  readonly stage: string;
}

beforeAll(async () => {
  [station, browser] = await Promise.all([startStation(), openBrowser()]);
  // The demo's finished job is conducted in the first seconds after the start.
  const jobs = async (): Promise<Summary[]> =>
    (await fetch(`${station.address}/api/jobs`)).json() as Promise<Summary[]>;
  await vi.waitUntil(async () => (await jobs()).some((job) => job.stage === "done"), {
    timeout: 30_000,
    interval: 250,
  });
  running = (await jobs()).find((job) => job.stage === "plan")?.job ?? "";
  finished = (await jobs()).find((job) => job.stage === "done")?.job ?? "";
  // A job on instruments that are not there.
  const text = (await readFile(join(root, "examples/pt100-four-wire.yaml"), "utf8"))
    .replace(/^job: .*$/m, "job: MISSING-1")
    .replaceAll("at: simulated", 'at: "tcp://127.0.0.1:1"');
  const added = await fetch(`${station.address}/api/jobs`, {
    method: "POST",
    headers: { "content-type": "text/plain" },
    body: text,
  });
  missing = ((await added.json()) as Summary).job;
  const page = await browser.newPage();
  await page.goto(`${station.address}/jobs/${running}?stage=plan`);
  await page.getByLabel("Speed, times real time").fill("20");
  await page.getByRole("button", { name: "Start the run" }).click();
  await page.getByRole("button", { name: /^Pause/ }).waitFor();
  await page.close();
});
afterAll(async () => {
  await browser.close();
  await station.stop();
});

const heading = (page: Page, name: string | RegExp) => page.getByRole("heading", { name }).first();

const places: readonly (readonly [string, () => string, (page: Page) => Promise<void>])[] = [
  [
    "kit, an entry open",
    () => "/kit",
    async (page) => {
      await page.getByRole("button", { name: "ref-11", exact: true }).click();
      await page.getByRole("heading", { name: "Revisions" }).waitFor();
    },
  ],
  ["jobs", () => "/", (page) => heading(page, "Jobs").waitFor()],
  [
    "adding a job",
    () => "/",
    async (page) => {
      await page.getByRole("button", { name: /^Add a job/ }).click();
      await page.getByRole("dialog").waitFor();
    },
  ],
  ["plan", () => `/jobs/${running}?stage=plan`, (page) => heading(page, "Kit").waitFor()],
  [
    "plan, where an instrument is missing",
    () => `/jobs/${missing}?stage=plan`,
    (page) => page.getByText("does not answer: plug it in").waitFor(),
  ],
  [
    "measure",
    () => `/jobs/${running}?stage=measure`,
    (page) => page.getByRole("button", { name: /^reference/ }).waitFor(),
  ],
  [
    "origin of a live number",
    () => `/jobs/${running}?stage=measure`,
    async (page) => {
      await page.getByRole("button", { name: /^reference.*\d/ }).click();
      await page.getByRole("dialog").waitFor();
    },
  ],
  [
    "asking to skip",
    () => `/jobs/${running}?stage=measure`,
    async (page) => {
      await page.getByRole("button", { name: /^Skip/ }).click();
      await page.getByRole("dialog").waitFor();
    },
  ],
  ["judge", () => `/jobs/${finished}?stage=judge`, (page) => heading(page, /What U is made of/).waitFor()],
  [
    "origin of a result",
    () => `/jobs/${finished}?stage=judge`,
    async (page) => {
      await page
        .getByRole("region", { name: "The chosen stop" })
        .getByRole("button", { name: /^error/ })
        .click();
      await page.getByText("Lines of the log").waitFor();
    },
  ],
  [
    "issue",
    () => `/jobs/${finished}?stage=issue`,
    (page) => page.getByRole("heading", { name: /Issued|stands in the way|Not yet/ }).waitFor(),
  ],
  ["bench, empty", () => "/bench", (page) => heading(page, "Set up an instrument").waitFor()],
  [
    "bench, where nothing answers",
    () => "/bench",
    async (page) => {
      await page.getByRole("radio", { name: /^Heat source, SCPI/ }).check();
      await page.getByLabel("Address").fill("tcp://127.0.0.1:1");
      await page.getByRole("button", { name: "Try it" }).click();
      await page
        .getByRole("alert")
        .getByText(/cannot be reached/)
        .waitFor();
    },
  ],
  [
    "readings of a file, some of them bad",
    () => `/jobs/${missing}?stage=measure`,
    async (page) => {
      await page.getByRole("button", { name: "Take readings from a file" }).click();
      await page.getByLabel("Choose a file of readings").setInputFiles({
        name: "readings.csv",
        mimeType: "text/csv",
        buffer: Buffer.from("time;reference;TT-204\n0;100,01;x\n10;100,01;100,02\n"),
      });
      await page.getByText("line 2", { exact: true }).waitFor();
    },
  ],
  [
    "readings of a file with windows",
    () => `/jobs/${missing}?stage=measure`,
    async (page) => {
      await page.getByRole("button", { name: "Take readings from a file" }).click();
      const rows = Array.from({ length: 120 }, (_, n) => `${n * 2};100,0${n % 2};100,02`);
      await page.getByLabel("Choose a file of readings").setInputFiles({
        name: "readings.csv",
        mimeType: "text/csv",
        buffer: Buffer.from(`time;reference;TT-204\n${rows.join("\n")}\n`),
      });
      await page.getByRole("img", { name: /^Reference from/ }).waitFor();
    },
  ],
  ["certificates", () => "/certificates", (page) => heading(page, "Certificates").waitFor()],
  [
    "help",
    () => "/",
    async (page) => {
      await heading(page, "Jobs").waitFor();
      await page.keyboard.press("?");
      await page.getByRole("dialog").waitFor();
    },
  ],
];

describe.each(["light", "dark"] as const)("in %s", (colorScheme) => {
  test.each(places)("%s has nothing that axe objects to and no sideways scroll", async (_, path, arrive) => {
    const context = await browser.newContext({
      viewport: { width: 820, height: 1180 },
      colorScheme,
      reducedMotion: "reduce",
    });
    const page = await context.newPage();
    await page.goto(`${station.address}${path()}`, { waitUntil: "domcontentloaded" });
    await arrive(page);
    // The document viewer of the browser is its own affair; a dialog is looked at once it stands still.
    await page.waitForTimeout(400);
    const { violations } = await new AxeBuilder({ page }).exclude("object").analyze();
    expect(
      violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(" ")).join(", ")}`),
    ).toEqual([]);
    const sideways = await page.locator("html").evaluate((html) => html.scrollWidth - html.clientWidth);
    expect(sideways).toBe(0);
    await context.close();
  });
});

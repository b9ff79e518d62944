import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openBrowser, openPlan, tabTo } from "./browser.ts";
import { startStation, type StationProcess } from "./station-process.ts";

let station: StationProcess;
let browser: Browser;

beforeAll(async () => {
  [station, browser] = await Promise.all([startStation(), openBrowser()]);
});
afterAll(async () => {
  await browser.close();
  await station.stop();
});

test("a run is started, paused, taken up again and stopped without a pointer", async () => {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(station.address);
  await tabTo(page, openPlan(page));
  await page.keyboard.press("Enter");
  await tabTo(page, page.getByLabel("Speed, times real time"));
  await page.keyboard.press("ControlOrMeta+a");
  await page.keyboard.type("20");
  await tabTo(page, page.getByRole("button", { name: "Start the run" }));
  await page.keyboard.press("Enter");

  await page.getByRole("button", { name: /^Pause/ }).waitFor();
  await page.keyboard.press("p");
  await page.getByRole("button", { name: /^Go on/ }).waitFor();
  expect(await page.getByRole("button", { name: /^Pause/ }).count()).toBe(0);
  await page.keyboard.press("p");
  await page.getByRole("button", { name: /^Pause/ }).waitFor();

  await page.keyboard.press("x");
  const dialog = page.getByRole("dialog", { name: "Stop the run" });
  await tabTo(page, dialog.getByLabel("Why"));
  await page.keyboard.type("called away by the shift lead");
  await tabTo(page, dialog.getByRole("button", { name: "Stop the run" }));
  await page.keyboard.press("Enter");
  await page.getByText("stopped", { exact: true }).waitFor();
  await page.close();
});

test("the help sheet opens by the question mark and closes by Escape", async () => {
  const page = await browser.newPage();
  await page.goto(station.address);
  await page.getByRole("heading", { level: 1, name: "Jobs" }).waitFor();
  await page.keyboard.press("?");
  const sheet = page.getByRole("dialog", { name: "Keys" });
  await sheet.waitFor();
  expect(await sheet.getByText("stop the run").isVisible()).toBe(true);
  await page.keyboard.press("Escape");
  await sheet.waitFor({ state: "hidden" });
  await page.close();
});

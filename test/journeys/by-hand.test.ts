import { AxeBuilder } from "@axe-core/playwright";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { exampleText, home, removeScratch } from "../integration/program.test-support.ts";
import { startStation, untilView, type StartedStation } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

let station: StartedStation;
let browser: Browser;

beforeAll(async () => {
  [station, browser] = await Promise.all([startStation(undefined, { pages: join(home, "build/web") }), openBrowser()]);
  for (const name of ["dial-thermometer", "everything-by-hand"]) await station.client.addJob(await exampleText(name));
});
afterAll(async () => {
  await browser.close();
  await station.stop();
  await removeScratch();
});

/** Begins a run and waits until the dial is to be read. */
const begin = async (): Promise<string> => {
  const { run } = await station.client.startRun("CV-2611-021", { speed: 60, seed: 118 });
  await station.client.command(run, { command: "start", by: "the test" });
  await untilView(station.client, run, ({ hand }) => hand?.asked != null);
  return run;
};

const stop = (run: string) => station.client.command(run, { command: "stop", by: "the test", reason: "seen enough" });

const open = async (page: Page, job: string): Promise<void> => {
  await page.goto(`${station.address}jobs/${job}?stage=measure`);
};

test("a dial is typed on the keypad with a thumb: comma, a slip asked back, one withdrawn", async () => {
  const run = await begin();
  const page = await browser.newPage({ viewport: { width: 820, height: 1180 }, hasTouch: true });
  const complaints = complaintsOf(page);
  await open(page, "CV-2611-021");
  const pad = page.getByRole("group", { name: "Keypad" });
  await pad.waitFor();
  await page.getByText("Read TI-118 now.").first().waitFor();
  // Every key is for gloves, and in reach without scrolling.
  for (const key of await pad.getByRole("button").all()) {
    const box = (await key.boundingBox())!;
    expect(Math.min(box.width, box.height)).toBeGreaterThanOrEqual(56);
    expect(box.y + box.height).toBeLessThan(1180);
  }
  const tap = async (...keys: string[]): Promise<void> => {
    for (const key of keys) await pad.getByRole("button", { name: key, exact: true }).tap();
  };
  // The comma forgotten: the value is asked back in words, and not taken.
  await tap("clear", "4", "0", "5", "Enter");
  await page.getByText("405 °C is beyond what TI-118 may see (0 °C to 160 °C). Is it 40.5?").first().waitFor();
  await tap("clear", "4", "0", "decimal comma", "5");
  await pad.getByRole("button", { name: "Enter instead" }).tap();
  const list = page.getByRole("region", { name: "Typed readings" });
  await list.getByText("40,5 °C").waitFor();
  // The next reading begins with this one, its last digits selected.
  await untilView(station.client, run, ({ hand }) => hand?.asked != null && hand.taken === 1);
  const field = page.getByRole("textbox", { name: /TI-118/ });
  await expect.poll(() => field.inputValue()).toBe("40,5");
  await field.tap();
  await tap("clear", "4", "1", "decimal point", "0", "delete a digit", "5", "Enter");
  await list.getByText("41.5 °C").waitFor();
  await list.getByRole("button", { name: /^Withdraw 41\.5/ }).tap();
  await page.getByRole("button", { name: "a slip of typing" }).tap();
  await page.getByRole("button", { name: "Withdraw it" }).tap();
  await list.getByText("withdrawn: a slip of typing").waitFor();
  expect(await page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")).toBe(
    true,
  );
  const { hand } = await station.client.runView(run);
  expect(hand!.readings).toMatchObject([
    { typed: "41.5", withdrawn: { reason: "a slip of typing" } },
    { typed: "40,5", withdrawn: null, by: "Orla Penhallow (demo)" },
  ]);
  await stop(run);
  expect(complaints).toEqual([]);
  await page.close();
});

test("it works with the keys of a keyboard alone, from the last value on", async () => {
  const run = await begin();
  await station.client.command(run, { command: "enter-reading", by: "the test", channel: "item-1", typed: "40.5" });
  await untilView(station.client, run, ({ hand }) => hand?.asked != null && hand.taken === 1);
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  const complaints = complaintsOf(page);
  await open(page, "CV-2611-021");
  const field = page.getByRole("textbox", { name: /TI-118/ });
  await field.waitFor();
  // The cursor is there already, and what changes is selected: "0.5" of 40.5 is overwritten.
  await expect.poll(() => field.evaluate((input) => input === input.ownerDocument.activeElement)).toBe(true);
  await page.keyboard.type("1,0");
  await page.keyboard.press("Enter");
  await page.getByRole("region", { name: "Typed readings" }).getByText("41,0 °C").waitFor();
  await stop(run);
  expect(complaints).toEqual([]);
  await page.close();
});

test("a source without a wire is set and confirmed, and the pages pass axe in both schemes", async () => {
  const { run } = await station.client.startRun("CV-2611-022", { speed: 30 });
  await station.client.command(run, { command: "start", by: "the test" });
  const see = async (colorScheme: "light" | "dark"): Promise<Page> => {
    const context = await browser.newContext({
      viewport: { width: 820, height: 1180 },
      colorScheme,
      reducedMotion: "reduce",
    });
    const page = await context.newPage();
    await open(page, "CV-2611-022");
    return page;
  };
  const violationsOf = async (page: Page) => (await new AxeBuilder({ page }).analyze()).violations;
  const light = await see("light");
  await light.getByRole("heading", { name: "Set the heat source to" }).waitFor();
  expect(await violationsOf(light)).toEqual([]);
  await light.getByRole("button", { name: "It is set to 20 °C and on" }).click();
  await light.getByRole("group", { name: "Keypad" }).waitFor();
  expect(await violationsOf(light)).toEqual([]);
  const dark = await see("dark");
  await dark.getByRole("group", { name: "Channel" }).waitFor();
  expect(await violationsOf(dark)).toEqual([]);
  await Promise.all([light.context().close(), dark.context().close()]);
  await stop(run);
});

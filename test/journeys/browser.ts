import { chromium, type Browser, type Locator, type Page } from "playwright-core";
import { findChromium } from "../../scripts/find-chromium.mjs";

export const openBrowser = (): Promise<Browser> => {
  const executablePath = findChromium();
  if (executablePath === undefined)
    throw new Error("No Chrome or Chromium was found: install one, or set CHROMIUM_PATH to its program.");
  const words = [
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
  ];
  const asRoot = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
  return chromium.launch({ executablePath, args: ["--disable-gpu", ...words, ...asRoot] });
};

/** Collects what a page complains about; an error of a script is never right. */
export const complaintsOf = (page: Page): string[] => {
  const complaints: string[] = [];
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("console", (message) => {
    if (message.type() === "error") complaints.push(message.text());
  });
  return complaints;
};

/** Goes on with the Tab key alone until the wanted element has the focus. */
export const tabTo = async (page: Page, wanted: Locator, most = 60): Promise<void> => {
  await wanted.waitFor();
  for (let presses = 0; presses < most; presses += 1) {
    if (await wanted.evaluate((element) => element === element.ownerDocument.activeElement)) return;
    await page.keyboard.press("Tab");
  }
  throw new Error(`The Tab key did not reach ${String(wanted)} within ${most} presses.`);
};

/** The first job that is still to be planned and started. */
export const openPlan = (page: Page): Locator => page.getByRole("link", { name: /^Open the plan/ }).first();

import { readFileSync } from "node:fs";
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { complaintsOf, openBrowser, openPlan } from "./browser.ts";
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

const textOf = async (path: string): Promise<string> => {
  const loading = getDocument({ data: new Uint8Array(readFileSync(path)), verbosity: 0 });
  const document = await loading.promise;
  const pages: string[] = [];
  for (let number = 1; number <= document.numPages; number += 1) {
    const content = await (await document.getPage(number)).getTextContent();
    pages.push(content.items.map((item) => ("str" in item ? item.str : "")).join(" "));
  }
  await loading.destroy();
  return pages.join("\n").replaceAll(/\s+/g, " ");
};

/** Starts the first planned job at speed and waits until every stop is behind. */
const measure = async (page: Page): Promise<{ tag: string; temperatures: string[] }> => {
  await openPlan(page).click();
  const tag = (await page.getByRole("main").getByRole("heading", { level: 2 }).first().textContent()) ?? "";
  const route = page.getByRole("navigation", { name: "Route" });
  await route.getByRole("button").first().waitFor();
  const temperatures = (await route.getByRole("button").allTextContents()).map(
    (text) => /[−\d.]+(?= °C)/.exec(text)?.[0] ?? "",
  );
  await page.getByLabel("Speed, times real time").fill("2000");
  await page.getByRole("button", { name: "Start the run" }).click();
  await page.getByRole("button", { name: /^reference/ }).waitFor();
  await page.getByRole("img", { name: /^Settling of/ }).waitFor();
  await page.getByRole("button", { name: "Judge the results" }).waitFor({ timeout: 60_000 });
  return { tag, temperatures };
};

test("the technician starts the demo job, measures, judges, issues, and holds the certificate", async () => {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, acceptDownloads: true });
  const complaints = complaintsOf(page);
  await page.goto(station.address);
  const { tag, temperatures } = await measure(page);
  expect(temperatures.length).toBeGreaterThan(1);

  await page.getByRole("button", { name: "Judge the results" }).click();
  const rows = page.getByRole("region", { name: "Points" }).getByRole("row", { name: /pass|fail|no verdict/ });
  await expect.poll(() => rows.count()).toBe(temperatures.length);
  const error =
    (await page
      .getByRole("region", { name: "The chosen stop" })
      .getByRole("button", { name: /^error/ })
      .textContent()) ?? "";
  await page
    .getByRole("region", { name: "The chosen stop" })
    .getByRole("button", { name: /^error/ })
    .click();
  const origin = page.getByRole("dialog");
  await origin.getByText("Lines of the log").waitFor();
  await origin
    .getByText(/readings taken/)
    .first()
    .waitFor();
  await page.keyboard.press("Escape");
  const decisions = await rows.evaluateAll((all) =>
    all.map((row) => /pass|fail|no verdict/.exec(row.textContent ?? "")?.[0] ?? ""),
  );

  await page.getByRole("button", { name: "Go on to issue" }).click();
  await page.getByLabel("Authorised by").fill("Tomas Brandreth");
  await page.getByRole("button", { name: "Issue the certificate" }).click();
  const issued = page.getByRole("region", { name: "Issued" });
  const waiting = page.waitForEvent("download");
  await issued.getByRole("link", { name: "Certificate, PDF" }).click();
  const download = await waiting;
  const number = (await issued.getByRole("paragraph").first().textContent()) ?? "";

  const text = await textOf(await download.path());
  expect(number.length).toBeGreaterThan(3);
  expect(text).toContain(number);
  expect(text).toContain(tag);
  for (const temperature of temperatures)
    expect(text).toMatch(new RegExp(`(^|[ (])[-−]?${temperature.replace("−", "")}(\\.0+)?([ ,°)]|$)`));
  expect(text).toContain(error.replace(/ K$/, "").replace(/^[+−]/, ""));
  expect(text).toContain("Tomas Brandreth");
  for (const decision of new Set(decisions))
    expect(text.toLowerCase()).toContain(decision === "no verdict" ? "verdict" : decision);
  expect(complaints).toEqual([]);
  await page.close();
});

import { join } from "node:path";
import { AxeBuilder } from "@axe-core/playwright";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { paths } from "#contract";
import { exampleText, home, removeScratch } from "../integration/program.test-support.ts";
import { startStation, untilView, type StartedStation } from "../integration/station.test-support.ts";
import { textOfPdf } from "../integration/text-of-pdf.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

let station: StartedStation;
let browser: Browser;
let job: string;
let run: string;
beforeAll(async () => {
  [station, browser] = await Promise.all([startStation(undefined, { pages: join(home, "build/web") }), openBrowser()]);
  ({ job } = await station.client.addJob(await exampleText("pt100-four-wire")));
  ({ run } = await station.client.startRun(job, { seed: 3 }));
  await station.client.command(run, { command: "start", by: "Tamsin Roke" });
  await untilView(station.client, run, ({ stage }) => stage === "ended");
}, 90_000);
afterAll(async () => {
  await browser.close();
  await station.stop();
  await removeScratch();
});

const at = (path: string): string => new URL(path, station.address).href;

/** What is out of order for somebody: what axe finds, and what runs off to the side. */
const disorderOf = async (page: Page): Promise<readonly string[]> => {
  const { violations } = await new AxeBuilder({ page }).exclude("object").analyze();
  const over = await page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth");
  return [
    ...violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(" ")}`),
    ...(over === 0 ? [] : [`runs ${String(over)} px off to the side`]),
  ];
};

const opened = async (
  path: string,
  options: Parameters<Browser["newContext"]>[0] = {},
): Promise<{ page: Page; complaints: string[]; context: BrowserContext }> => {
  const context = await browser.newContext({
    viewport: { width: 1280, height: 800 },
    reducedMotion: "reduce",
    bypassCSP: true,
    ...options,
  });
  const page = await context.newPage();
  const complaints = complaintsOf(page);
  await page.goto(at(path), { waitUntil: "domcontentloaded" });
  return { page, complaints, context };
};

describe("certificates on screen", () => {
  it("are issued in the languages chosen, amended, and say by what they are replaced", async () => {
    const { page, complaints, context } = await opened(`/jobs/${job}?stage=issue&run=${run}`);
    await page.getByLabel("Written in").selectOption("de");
    await page.getByLabel("French").check();
    await page.getByLabel(/agreed to an interval/).check();
    const issue = page.getByRole("button", { name: "Issue the certificate" });
    // An agreement without a day and a name is none.
    expect(await issue.isDisabled()).toBe(true);
    expect(await disorderOf(page)).toEqual([]);
    await page.getByLabel("Due on").fill("2099-11-25");
    await page.getByLabel("Agreed with").fill("Maintenance office");
    await issue.click();
    await page.getByRole("heading", { name: "Issued" }).waitFor();
    await page.getByRole("link", { name: "Label for TT-204" }).waitFor();
    const [first] = await station.client.certificates();
    expect(first).toMatchObject({ languages: ["de", "fr"] });
    const text = await textOfPdf(
      new Uint8Array(await (await station.fetch(paths.certificatePdf(first!.number))).arrayBuffer()),
    );
    expect(text).toContain("Nächste Kalibrierung 25. November 2099, vereinbart mit Maintenance office");

    await page.goto(at("/certificates"));
    await page.getByRole("button", { name: `More about ${first!.number}` }).click();
    await page.getByRole("button", { name: "Amend …" }).click();
    await page.getByLabel("Reason").fill("The serial number was misread");
    await page.getByLabel("TT-204: serial number").fill("PT-9002");
    await page.getByText("One text is changed.").waitFor();
    expect(await disorderOf(page)).toEqual([]);
    await page.getByRole("button", { name: `Issue in place of ${first!.number}` }).click();
    await page.getByText(`Replaced by ${first!.number}-A1`).waitFor();
    await page.getByText(`amendment to ${first!.number}`).waitFor();

    await page.getByRole("button", { name: `More about ${first!.number}-A1` }).click();
    await page.getByRole("button", { name: "Withdraw …" }).click();
    await page.getByLabel("Reason").fill("The wrong item was measured");
    await page.getByLabel("Withdrawn by").fill("Idris Farrowby");
    await page.getByRole("button", { name: `Withdraw ${first!.number}-A1` }).click();
    await page
      .getByText(/^Withdrawn on .* by Idris Farrowby: The wrong item was measured$/)
      .first()
      .waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  });

  it("carry a logo that was chosen, and refuse what is no picture", async () => {
    const { page, context } = await opened("/certificates");
    const logo = page.getByLabel("Choose a file: Logo of the laboratory");
    await logo.setInputFiles({ name: "a.svg", mimeType: "image/svg+xml", buffer: Buffer.from("<svg><script/></svg>") });
    await page
      .getByText("The SVG holds a script", { exact: false })
      .or(page.getByText("the SVG holds a script", { exact: false }))
      .waitFor();
    const drawing =
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 8"><rect width="20" height="8" fill="#0b4a72"/></svg>';
    await logo.setInputFiles({ name: "a.svg", mimeType: "image/svg+xml", buffer: Buffer.from(drawing) });
    await page.getByText("SVG, 1 kB, on every certificate from now on").waitFor();
    await page.getByRole("button", { name: "Take away: Logo of the laboratory" }).click();
    await page.getByText("on every certificate from now on").waitFor({ state: "detached" });
    expect(await station.client.laboratoryPictures()).toEqual({ logo: null, symbol: null });
    await context.close();
  });

  it.each([
    ["light", 820],
    ["dark", 820],
    ["dark", 1280],
  ] as const)("are in order for everybody (%s, %i)", async (colorScheme, width) => {
    const { page, context } = await opened("/certificates", { colorScheme, viewport: { width, height: 1000 } });
    await page.getByRole("heading", { name: "On every certificate" }).waitFor();
    expect(await disorderOf(page)).toEqual([]);
    await context.close();
  });
});

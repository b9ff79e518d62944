import { existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { AxeBuilder } from "@axe-core/playwright";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { paths } from "#contract";
import { exampleText, home, removeScratch, scratch } from "../integration/program.test-support.ts";
import { startStation, untilView } from "../integration/station.test-support.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

const address = pathToFileURL(join(home, "build/web/verify.html")).href;

let browser: Browser;
let files: { pdf: string; xml: string; log: string; wrong: string; wrongLog: string };

/** A certificate from a run, its log, and both with one digit changed. */
beforeAll(async () => {
  if (!existsSync(join(home, "build/web/verify.html")))
    throw new Error("The page is not built; run npm run build:web first.");
  const station = await startStation();
  const { job } = await station.client.addJob(await exampleText("pt100-four-wire"));
  const { run } = await station.client.startRun(job, { seed: 3 });
  await station.client.command(run, { command: "start", by: "Tamsin Roke" });
  await untilView(station.client, run, ({ stage }) => stage === "ended");
  const { number } = await station.client.issue(run, { authorisedBy: "Idris Farrowby", languages: ["de", "fr"] });
  const bytesOf = async (path: string): Promise<Buffer> => Buffer.from(await (await station.fetch(path)).arrayBuffer());
  const [pdf, xml, log] = await Promise.all([
    bytesOf(paths.certificatePdf(number)),
    bytesOf(paths.certificateXml(number)),
    bytesOf(paths.runLog(run)),
  ]);
  await station.stop();
  const folder = await scratch();
  const kept = (name: string, bytes: Buffer | string): string => {
    const path = join(folder, name);
    writeFileSync(path, bytes);
    return path;
  };
  const [, error = ""] = /basic_measurementError[\s\S]*?<si:valueXMLList>([^<]*)</.exec(xml.toString("utf8"))!;
  const changed = error.replace(/\d(?= |$)/, (digit) => String((Number(digit) + 1) % 10));
  files = {
    pdf: kept(`${number}.pdf`, pdf),
    xml: kept(`${number}.xml`, xml),
    log: kept("run.jsonl", log),
    wrong: kept("wrong.xml", xml.toString("utf8").replace(`>${error}<`, `>${changed}<`)),
    wrongLog: kept(
      "wrong.jsonl",
      log.toString("utf8").replace(/"values":\[(\d+)/, (_, first) => `"values":[${Number(first) + 1}`),
    ),
  };
  browser = await openBrowser();
}, 90_000);
afterAll(async () => {
  await browser.close();
  await removeScratch();
});

const opened = async (given: readonly string[], scheme: "light" | "dark" = "light"): Promise<Page> => {
  const page = await browser.newPage({ viewport: { width: 820, height: 1180 }, colorScheme: scheme });
  await page.goto(address);
  await page.getByLabel("Choose the files, or drop them here").setInputFiles([...given]);
  await page.getByRole("heading", { level: 2 }).waitFor();
  return page;
};
const headline = (page: Page): Promise<string> => page.getByRole("heading", { level: 2 }).innerText();

describe("the page that holds a certificate against its log, opened from a disk", () => {
  it("works every figure out again from the log, without a network and without a complaint", async () => {
    const page = await browser.newPage();
    const complaints = complaintsOf(page);
    const asked: string[] = [];
    page.on("request", (request) => asked.push(request.url()));
    await page.goto(address);
    await page.getByLabel("Choose the files, or drop them here").setInputFiles([files.pdf, files.log]);
    await page.getByRole("heading", { level: 2 }).waitFor();
    expect(await headline(page)).toBe("The certificate holds: its data are what the log gives.");
    const text = await page.locator("#report").innerText();
    expect(text).toContain("The log is the one that the certificate names: its SHA-256 agrees.");
    expect(text).toMatch(/\d\d figures were worked out again from the log, and every digit agrees\./);
    expect(text).toContain("Idris Farrowby");
    expect(complaints).toEqual([]);
    expect(asked).toEqual([address]);
    expect(await page.evaluate(`fetch("https://example.org").then(() => "asked", () => "refused")`)).toBe("refused");
    await page.close();
  });

  it("names the one digit that was changed, with what the log gives", async () => {
    const page = await opened([files.wrong, files.log]);
    expect(await headline(page)).toBe("The certificate does not hold.");
    const rows = page.getByRole("table", { name: "What differs" }).getByRole("row");
    expect(await rows.count()).toBe(2);
    expect(await rows.nth(1).innerText()).toMatch(/^TT-204, as found, -20 °C\s+error\s+-?[\d.]+\s+-?[\d.]+$/);
    await page.close();
  });

  it.each([
    ["a log with another reading", () => [files.pdf, files.wrongLog], "The certificate does not hold."],
    ["no log", () => [files.pdf], "Nothing speaks against the certificate, and nothing proves it without its log."],
    ["PDF and XML that differ", () => [files.pdf, files.wrong, files.log], "The certificate does not hold."],
    [
      "PDF and XML that agree",
      () => [files.pdf, files.xml, files.log],
      "The certificate holds: its data are what the log gives.",
    ],
  ])("%s", async (_, given, words) => {
    const page = await opened(given());
    expect(await headline(page)).toBe(words);
    await page.close();
  });

  it.each(["light", "dark"] as const)("is accessible and does not scroll sideways (%s)", async (scheme) => {
    const context = await browser.newContext({
      viewport: { width: 820, height: 1180 },
      colorScheme: scheme,
      bypassCSP: true,
    });
    const page = await context.newPage();
    await page.goto(address);
    await page.getByLabel("Choose the files, or drop them here").setInputFiles([files.wrong, files.log]);
    await page.getByRole("heading", { level: 2 }).waitFor();
    const { violations } = await new AxeBuilder({ page }).analyze();
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(" ")}`)).toEqual([]);
    const room: unknown = await page.evaluate(
      "document.documentElement.scrollWidth - document.documentElement.clientWidth",
    );
    expect(room).toBe(0);
    if (process.env["DWELLPOINT_PICTURES"] !== undefined)
      await page.screenshot({ path: join(process.env["DWELLPOINT_PICTURES"], `verify-${scheme}.png`), fullPage: true });
    await context.close();
  });
});

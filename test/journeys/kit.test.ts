import { AxeBuilder } from "@axe-core/playwright";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { scaledClock, startSimulatedBench } from "#bench";
import { paths } from "#contract";
import { writeTeds } from "#intake";
import { openRecords } from "#records";
import { certificate, coefficients } from "../../src/intake/identity/fixtures/certificate.test-support.ts";
import { reference } from "../../src/intake/identity/fixtures/entries.test-support.ts";
import { home, removeScratch, scratch } from "../integration/program.test-support.ts";
import { startStation, type StartedStation } from "../integration/station.test-support.ts";
import { readCatalog } from "../../src/cli/catalog.ts";
import { complaintsOf, openBrowser } from "./browser.ts";

let station: StartedStation;
let browser: Browser;

beforeAll(async () => {
  const data = join(await scratch(), "data");
  const records = await openRecords(data);
  const { revision: _, ...entry } = reference().entry;
  await records.reviseKit({ kind: "reference", entry, author: "Orla Penhallow (demo)", reason: "first" });
  await records.close();
  [station, browser] = await Promise.all([startStation(data, { pages: join(home, "build/web") }), openBrowser()]);
});
afterAll(async () => {
  await browser.close();
  await station.stop();
  await removeScratch();
});

const year = new Date().getUTCFullYear();
/** The invented certificate, dated so that it holds today. */
const current = (text: string): Buffer =>
  Buffer.from(text.replaceAll("2026-03", `${year - 1}-12`).replaceAll("2027-03-10", `${year + 1}-12-10`));

const openKit = async (page: Page): Promise<string[]> => {
  const complaints = complaintsOf(page);
  await page.goto(new URL("/kit", station.address).href);
  await page.getByRole("heading", { name: "References" }).waitFor();
  return complaints;
};

const sideways = (page: Page): Promise<boolean> =>
  page.evaluate<boolean>("document.documentElement.scrollWidth > document.documentElement.clientWidth");

test("a certificate is chosen, looked at digit by digit, and approved as the next revision", async () => {
  const context = await browser.newContext({ viewport: { width: 820, height: 1180 } });
  const page = await context.newPage();
  const complaints = await openKit(page);
  const bring = page.getByRole("region", { name: "Bring a probe" });
  const file = bring.getByLabel("Choose a file");
  await file.setInputFiles({
    name: "x",
    mimeType: "",
    buffer: current(certificate({ coefficients: coefficients("3.92812E-3") })),
  });
  await bring.getByText("does not hold:").first().waitFor();
  await bring.getByLabel("Your name").fill("Orla Penhallow (demo)");
  await bring.getByLabel("Reason, for the record").fill("calibrated anew");
  expect(await bring.getByRole("button", { name: "Approve as revision 2" }).isDisabled()).toBe(true);

  await file.setInputFiles({ name: "x", mimeType: "", buffer: current(certificate()) });
  await bring.getByText("Reproduces the 3 check values").waitFor();
  expect(
    await bring
      .getByRole("row", { name: /^sensor\.r0/ })
      .getByRole("cell")
      .allTextContents(),
  ).toEqual(["100.0109", "100.0113"]);
  expect(
    await bring
      .getByRole("row", { name: /^sensor\.r0/ })
      .locator("mark")
      .allTextContents(),
  ).toEqual(["09", "13"]);
  expect(await sideways(page)).toBe(false);
  expect((await new AxeBuilder({ page }).analyze()).violations).toEqual([]);
  await bring.getByLabel("Your name").fill("Orla Penhallow (demo)");
  await bring.getByLabel("Reason, for the record").fill("calibrated anew");
  await bring.getByRole("button", { name: "Approve as revision 2" }).click();
  await page.getByText("pr-2207 is recorded.").waitFor();
  await page.getByText("Revision 2", { exact: true }).waitFor();
  // A refused file is a sentence, not an error of the page.
  await file.setInputFiles({ name: "x", mimeType: "", buffer: Buffer.from("<!DOCTYPE x><x/>") });
  await bring.getByRole("alert").getByText("document type").waitFor();
  expect(complaints.filter((text) => !text.includes("422"))).toEqual([]);
  await page.close();
});

/** Draws the first page of a PDF at 203 dots an inch, as a printer of labels puts it down; run by the browser. */
const drawing = `
  import * as pdfjs from "/pdfjs/pdf.mjs";
  pdfjs.GlobalWorkerOptions.workerSrc = "/pdfjs/pdf.worker.mjs";
  window.drawn = async (address) => {
    const data = new Uint8Array(await (await fetch(address)).arrayBuffer());
    const sheet = await (await pdfjs.getDocument({ data }).promise).getPage(1);
    const viewport = sheet.getViewport({ scale: 203 / 72 });
    const canvas = document.createElement("canvas");
    canvas.width = Math.round(viewport.width);
    canvas.height = Math.round(viewport.height);
    await sheet.render({ canvas, viewport }).promise;
    return canvas.toDataURL("image/png");
  };
`;

const printed = async (page: Page, pdf: string): Promise<Buffer> => {
  await page.route("**/pdfjs/*", async (route) => {
    const name = new URL(route.request().url()).pathname.split("/").at(-1)!;
    const body =
      name === "drawing.mjs" ? drawing : await readFile(join(home, "node_modules/pdfjs-dist/build", name), "utf8");
    await route.fulfill({ contentType: "text/javascript", body });
  });
  await page.addScriptTag({ url: "/pdfjs/drawing.mjs", type: "module" });
  const url = await page.evaluate<string>(`drawn(${JSON.stringify(pdf)})`);
  return Buffer.from(url.split(",")[1]!, "base64");
};

test("a printed label is read from its picture, and as a scanner types it; a damaged one is refused", async () => {
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await openKit(page);
  const picture = await printed(page, paths.kitLabel("pr-2207"));
  const bring = page.getByRole("region", { name: "Bring a probe" });
  await bring
    .getByLabel("Photo of a label")
    .setInputFiles({ name: "photo.png", mimeType: "image/png", buffer: picture });
  await bring.getByText(/^Label of kit entry pr-2207, revision/).waitFor();
  await bring.getByText("It says what the kit says already").waitFor();
  await bring.getByLabel("Scan or paste").fill("DWP1MRTMBBVFSTFQVQRQCBCX6ZLQUWIEAZTCFX6YSUSKW5OSRRWHUKSMJCUI");
  await page.keyboard.press("Enter");
  await bring.getByRole("alert").getByText("Scan it again").waitFor();
  expect(await bring.getByRole("button", { name: /^Approve/ }).count()).toBe(0);
  await page.close();
});

/** The data sheet of an invented probe, as a readout says it. */
const dataSheet = (serial: number): string => {
  const basic = { manufacturer: 51, model: 11, versionLetter: "A", version: 1, serial };
  const teds = writeTeds({ basic, sections: [], text: "" });
  if (!teds.ok) throw new Error(teds.fault.message);
  return Buffer.from(teds.value).toString("hex");
};

test("a plugged-in probe is looked at, made known, and from then on selects its entry", async () => {
  const bench = await startSimulatedBench({
    simulation: { probes: { reference: dataSheet(1108) } },
    instruments: [{ id: "readout", role: "readout", entry: "probe-memory-readout" }],
    entries: readCatalog(home),
    channels: { reference: { instrument: "readout", input: 1, unit: "Ω" } },
    clock: scaledClock({ speed: 1 }),
  });
  const at = { entry: "probe-memory-readout", at: bench.addresses["readout"]! };
  await station.client.tryInstrument(at);
  await station.client.keepInstrument({ name: "our-readout", ...at });
  const page = await browser.newPage({ viewport: { width: 820, height: 1180 } });
  await openKit(page);
  const plugged = page.getByRole("region", { name: "Plugged in" });
  await plugged.getByRole("button", { name: "Ask our-readout" }).click();
  await plugged.getByText("no kit entry is known by that").waitFor();
  await plugged.getByRole("button", { name: "Look at its data sheet of input 1" }).click();
  const bring = page.getByRole("region", { name: "Bring a probe" });
  await bring.getByLabel("Kit entry").selectOption({ value: "pr-2207" });
  await bring.getByRole("row", { name: /^dataSheet/ }).waitFor();
  await bring.getByLabel("Your name").fill("Orla Penhallow (demo)");
  await bring.getByLabel("Reason, for the record").fill("data sheet read");
  await bring.getByRole("button", { name: /^Approve as revision/ }).click();
  await page.getByText("pr-2207 is recorded.").waitFor();
  await page.reload();
  await plugged.getByRole("button", { name: "Ask our-readout" }).click();
  await plugged.getByText("pr-2207, by its data sheet 51-11-A1-1108").waitFor();
  // The known probe has opened its entry by itself.
  await page.getByRole("region", { name: "pr-2207", exact: true }).waitFor();
  expect(await sideways(page)).toBe(false);
  await page.close();
  await bench.close();
});

test("a run with another probe than the job's is a question before it begins", async () => {
  const text = (await readFile(join(home, "examples/pt100-four-wire.yaml"), "utf8"))
    .replaceAll("scpi-thermometer-readout", "probe-memory-readout")
    .replace(/^ {2}simulation:\s*$/m, `  simulation:\n    probes: {reference: "${dataSheet(9)}"}`);
  const { job } = await station.client.addJob(text);
  const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
  await page.goto(new URL(`/jobs/${job}?stage=plan`, station.address).href);
  await page.getByRole("button", { name: "Start the run" }).click();
  await page.getByText("Another probe is plugged in than the job is for").waitFor();
  expect((await station.client.job(job)).runs).toEqual([]);
  await page.getByRole("button", { name: "It is the job’s probe all the same" }).click();
  await page.getByRole("button", { name: /^Pause/ }).waitFor();
  await page.close();
});

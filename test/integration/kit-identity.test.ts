import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import bwip from "bwip-js";
import jsqrModule from "jsqr";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { renderCertificate, renderLabel } from "#certificates";
import { labelWords, readIdentity, readLabelCode, type Brought, type BroughtEntry } from "#intake";
import { openRecords } from "#records";
import { readPdf } from "../../src/certificates/fixtures/read-pdf.test-support.ts";
import {
  adjustedItem,
  fittedTable,
  sampleJob,
  sampleLog,
  sampleResult,
} from "../../src/certificates/fixtures/sample-run.test-support.ts";
import { ask } from "../../src/cli/commands/ask.test-support.ts";
import { kit } from "../../src/cli/commands/kit.ts";
import { certificate, coefficients } from "../../src/intake/identity/fixtures/certificate.test-support.ts";
import { reference } from "../../src/intake/identity/fixtures/entries.test-support.ts";

/** The module is CommonJS whose types speak of a default export: which of the two arrives depends on who loads it. */
const jsqr = (
  typeof jsqrModule === "function" ? jsqrModule : (jsqrModule as { default: unknown }).default
) as typeof import("jsqr").default;

describe("a certificate of our own", () => {
  const job = sampleJob();
  const plain = adjustedItem(job);
  const fit = fittedTable({ from: -50, rows: 12, step: 10 });
  const items = [{ ...plain, passes: plain.passes.map((pass) => (pass.pass === "as-left" ? { ...pass, fit } : pass)) }];
  const { xml, document } = renderCertificate({
    log: sampleLog(job, items),
    result: sampleResult(job, items),
    issued: { date: "2026-04-02" },
  });
  let brought: Brought;
  beforeAll(() => {
    const read = readIdentity(new TextEncoder().encode(xml));
    if (!read.ok) throw new Error(read.fault.message);
    brought = read.value[0]!;
  });

  test("is read back: who, by whom, when, which number", () => {
    expect(brought).toMatchObject({
      form: "certificate",
      source: "Digital Calibration Certificate 3.3.0",
      identity: { serial: document.items[0]!.serial, description: document.items[0]!.description },
      calibration: { certificate: document.number, laboratory: document.laboratory.name, date: document.dates.ended },
    });
  });

  test("brings the fitted coefficients and its own table as check values, digit for digit", () => {
    const { fit: written } = document.items[0]!;
    const sensor = brought.sensor;
    if (sensor?.kind !== "platinum" || sensor.equation !== "callendar-van-dusen")
      throw new Error("no coefficients were read");
    const printed = Object.fromEntries(
      written!.coefficients.map(({ value }, index) => [["r0", "a", "b", "c"][index]!, Number(value.plain)]),
    );
    expect(sensor).toMatchObject(printed);
    expect(brought.checkValues).toHaveLength(12);
    expect(brought.checkValues.map(({ signal }) => signal)).toEqual(
      written!.table.rows.map(({ signal }) => Number(signal.plain)),
    );
  });

  test("has the points of its last pass with U and k", () => {
    const pass = document.items[0]!.passes.at(-1)!;
    expect(brought.points.map(({ U }) => U)).toEqual(pass.rows.map(({ U }) => Number(U.plain)));
    expect(brought.points.map(({ error }) => error)).toEqual(pass.rows.map(({ error }) => Number(error.plain)));
    expect(brought.points.every(({ uncertaintyUnit, k }) => uncertaintyUnit === "K" && k! >= 1)).toBe(true);
  });
});

/** The picture of a code as a camera has it: so many pixels a module, with a quiet zone, turned by a little noise of grey. */
const picture = (code: string, pixels: number): { data: Uint8ClampedArray; width: number } => {
  const [{ pixs, pixx }] = bwip.raw({ bcid: "qrcode", text: code, eclevel: "M" } as Parameters<
    typeof bwip.raw
  >[0]) as unknown as [{ pixs: readonly number[]; pixx: number }];
  const width = (pixx + 8) * pixels;
  const data = new Uint8ClampedArray(width * width * 4);
  for (let y = 0; y < width; y += 1) {
    for (let x = 0; x < width; x += 1) {
      const [column, row] = [Math.floor(x / pixels) - 4, Math.floor(y / pixels) - 4];
      const dark = column >= 0 && row >= 0 && column < pixx && row < pixx && pixs[row * pixx + column] === 1;
      const grey = (dark ? 40 : 215) + ((x * 7 + y * 13) % 25);
      data.set([grey, grey, grey, 255], (y * width + x) * 4);
    }
  }
  return { data, width };
};

const wordsOf = (entry: BroughtEntry) => {
  const words = labelWords(entry);
  if (!words.ok) throw new Error(words.fault.message);
  return words.value;
};

const twentyCoefficients = (): BroughtEntry => {
  const long = (index: number): number => Number((Math.sin(index + 1) * 1e-4).toPrecision(17));
  const names = ["a", "b", "c", "d"];
  const subrange = (number: number, from: number, count: number) => ({
    subrange: number,
    ...Object.fromEntries(names.slice(0, count).map((name, index) => [name, long(from + index)])),
  });
  const { coefficients: _, ...calibration } = reference().entry.calibration;
  return reference({
    sensor: {
      kind: "platinum",
      equation: "its-90",
      rtpw: 25.512_345_678_901_23,
      coefficients: [subrange(6, 1, 4), subrange(7, 5, 4), subrange(8, 9, 4), subrange(9, 13, 4), subrange(4, 17, 3)],
    } as never,
    calibration,
  });
};

describe("a label", () => {
  test.each([
    ["an ordinary reference", reference(), 400],
    ["twenty coefficients of seventeen digits", twentyCoefficients(), 970],
  ])("of %s can be read from its picture at three pixels a module", (_, entry, most) => {
    const { code } = wordsOf(entry);
    expect(code.length).toBeLessThanOrEqual(most);
    const { data, width } = picture(code, 3);
    const found = jsqr(data, width, width);
    expect(found?.data).toBe(code);
    expect(readLabelCode(found!.data)).toEqual({ ok: true, value: entry });
  });

  test("with a long code is the large one, still one page", async () => {
    const pdf = await readPdf(renderLabel(wordsOf(twentyCoefficients())));
    expect(pdf.pages).toHaveLength(1);
    expect(pdf.text).toMatch(/pr-2207 · revision 3/);
  });

  test("says on paper whose it is and until when", async () => {
    const pdf = await readPdf(renderLabel(wordsOf(reference())));
    expect(pdf.pages).toHaveLength(1);
    expect(pdf.text).toMatch(/pr-2207 · revision 3/);
    expect(pdf.text).toMatch(/NT-25-0977.*2025-03-11.*2026-03-11/);
  });
});

describe("dwellpoint kit", () => {
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), "kit-"));
    const records = await openRecords(join(folder, "data"));
    const { revision: _, ...entry } = reference().entry;
    await records.reviseKit({ kind: "reference", entry, author: "Orla Penhallow (demo)", reason: "first" });
    await records.close();
    await writeFile(join(folder, "anything.bin"), certificate());
  });
  afterAll(() => rm(folder, { recursive: true }));

  const at = (...words: readonly string[]) => ask(kit, "", [...words, "--data", join(folder, "data")]);

  test("reads a file by its content, says what it checked and what would change, digit by digit", async () => {
    const { text, code } = await at("read", join(folder, "anything.bin"), "--today", "2026-04-01");
    expect(code).toBe(0);
    expect(text).toContain("Digital Calibration Certificate 3.3.0");
    expect(text).toMatch(/Reproduces the 3 check values/);
    expect(text).toMatch(/was {2}100\.0109\n {4}is {3}100\.0113\n {15}\^/);
    expect(text).toContain("It can be approved.");
  });

  test("refuses a copied digit, with exit 1, and records nothing of it", async () => {
    await writeFile(join(folder, "wrong.xml"), certificate({ coefficients: coefficients("3.92812E-3") }));
    const words = ["read", join(folder, "wrong.xml"), "--today", "2026-04-01"];
    const { text, code } = await at(...words, "--json");
    expect(code).toBe(1);
    expect(JSON.parse(text)).toMatchObject({ proposal: { approvable: false } });
    await expect(at(...words, "--approve", "--author", "A", "--reason", "B")).rejects.toThrow("cannot be approved");
  });

  test("records a revision with its author and reason, lists it, prints its label, and reads the label back", async () => {
    const approved = await at(
      "read",
      join(folder, "anything.bin"),
      "--today",
      "2026-04-01",
      "--approve",
      "--author",
      "Orla Penhallow (demo)",
      "--reason",
      "calibrated anew",
    );
    expect(approved.text).toContain("Recorded as revision 2 of pr-2207.");
    const listed = await at("list", "--json");
    expect(JSON.parse(listed.text)).toMatchObject({ kind: "reference", id: "pr-2207", revision: 2, due: "2027-03-10" });
    const labelled = await at("label", "pr-2207", "--out", folder);
    const { pdf } = JSON.parse(labelled.text) as { pdf: string };
    const { text } = await readPdf(Uint8Array.from(await readFile(pdf)));
    expect(text).toContain("pr-2207 · revision 2");
    const records = await openRecords(join(folder, "data"));
    const [newest] = await records.listKit("pr-2207");
    await records.close();
    const { code } = wordsOf({ kind: newest!.kind, entry: newest!.entry } as BroughtEntry);
    const typed = await ask(kit, `${code}\n`, ["read", "-", "--data", join(folder, "data")]);
    expect([typed.code, typed.text]).toEqual([0, expect.stringContaining("says what the kit says already")]);
  });

  test("wrong usage is said", async () => {
    await expect(ask(kit, "", ["read"])).rejects.toThrow("kit takes read FILE");
    await expect(at("label", "nobody", "--out", folder)).rejects.toThrow('no entry "nobody"');
    await expect(at("read", join(folder, "anything.bin"), "--uncertainty", "much")).rejects.toThrow(
      "--uncertainty wants a number",
    );
  });
});

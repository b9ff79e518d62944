import { createHash } from "node:crypto";
import { mkdtemp, readFile, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough, Readable } from "node:stream";
import { text } from "node:stream/consumers";
import { afterEach, beforeEach, expect, test } from "vitest";
import {
  evaluate,
  jobSchema,
  logFormat,
  parseLog,
  validatePoints,
  type EventDraft,
  type JobInput,
  type PointValidation,
} from "#calibration";
import { unwrap } from "#fault";
import { celsius } from "#quantity";
import { signalOf, type ScalePlatinumSensor } from "#thermometry";
import { main } from "../main.ts";

const party = { name: "Calder Vale Calibration", address: ["4 Weir Lane"], country: "GB" };
const calibration = {
  certificate: "NT-25-3391",
  laboratory: "Northern Thermometry Laboratory",
  date: "2025-11-04",
  due: "2026-11-04",
};

const reference: ScalePlatinumSensor & { coefficients: { subrange: number; [name: string]: number }[] } = {
  kind: "platinum",
  equation: "its-90",
  rtpw: 25.4961,
  coefficients: [{ subrange: 7, a: -1e-4, b: 1e-5, c: 0 }],
};
const item = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100.02,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
} as const;

const job = {
  job: "CV-1",
  title: "Demo",
  laboratory: party,
  customer: { ...party, name: "Marrow & Finch Preserves" },
  place: "Pasteuriser hall",
  technician: "Imke Torvald",
  authorisedBy: "Rosalind Achterberg",
  conditions: { ambientTemperature: { value: 22, halfWidth: 2 } },
  items: [
    {
      id: "te-1",
      tag: "TE-1",
      description: "Pt100",
      serial: "S-1",
      sensor: { ...item, r0: 100 },
      channel: "item-1",
      unit: "Ω",
      tolerance: { kelvin: 0.5 },
      limits: { minimum: -50, maximum: 200 },
    },
  ],
  kit: {
    reference: {
      id: "ref",
      description: "Platinum thermometer",
      serial: "PR-1",
      sensor: reference,
      channel: "reference",
      unit: "Ω",
      range: { minimum: 0, maximum: 400 },
      calibration: { ...calibration, uncertainty: 0.01, k: 2 },
      driftPerYear: 0.005,
    },
    readout: {
      id: "readout",
      description: "Readout",
      serial: "TR-1",
      calibration,
      accuracy: [{ unit: "Ω", absolute: 0.0005, resolution: 0.0001 }],
    },
    source: {
      id: "bath",
      description: "Bath",
      serial: "B-1",
      class: "bath",
      range: { minimum: -20, maximum: 200 },
      stability: 0.01,
      axial: 0.01,
      radial: 0.005,
    },
  },
  procedure: {
    method: { identifier: "M-1", revision: "1", title: "By comparison" },
    points: [{ temperature: 50 }, { temperature: 100 }],
    decision: { kind: "guard-band" },
  },
  bench: {
    instruments: [{ id: "readout", entry: "generic", at: "simulated", role: "readout" }],
    channels: {
      reference: { instrument: "readout", unit: "Ω" },
      "item-1": { instrument: "readout", input: 2, unit: "Ω" },
    },
  },
  rehearsal: true,
} satisfies JobInput;

/** A whole run log as its lines, with readings that a slightly high Pt100 would give. */
const logLines = (change: Partial<JobInput> = {}): string => {
  const checked = jobSchema.parse({ ...job, ...change });
  const drafts: EventDraft[] = [
    {
      kind: "run-opened",
      format: logFormat,
      at: 0,
      run: "run-1",
      opened: "2026-03-30T09:00:00Z",
      software: { name: "dwellpoint", version: "0.1.0" },
      seed: 7,
      job: checked,
      catalog: [],
    },
    { kind: "pass-begun", at: 0, pass: "as-found" },
  ];
  for (const [point, { temperature }] of checked.procedure.points.entries()) {
    const from = 1000 * (point + 1);
    const times = Array.from({ length: 20 }, (_, i) => from + 2 * i);
    const wobble = (i: number): number => 0.002 * Math.sin(1.3 * i);
    const readings = (sensor: typeof reference | typeof item) =>
      times.map((_, i) => unwrap(signalOf(sensor, celsius(temperature + wobble(i)))).signal);
    const at = from + 40;
    drafts.push(
      { kind: "set-point-commanded", at: from - 900, pass: "as-found", point, temperature },
      { kind: "readings-taken", at, channel: "reference", unit: "Ω", times, values: readings(reference) },
      { kind: "readings-taken", at, channel: "item-1", unit: "Ω", times, values: readings(item) },
      {
        kind: "point-settled",
        at,
        pass: "as-found",
        point,
        item: "te-1",
        evidence: {
          from: from - 300,
          to: from,
          estimate: 0.05,
          remainder: 0.005,
          standardUncertainty: 0.001,
          slope: 0,
          slopeStandardError: 1e-6,
          autocorrelation: 0.2,
          target: 0.1,
        },
      },
      { kind: "point-measured", at, pass: "as-found", point, from, to: from + 38 },
    );
  }
  drafts.push({ kind: "run-ended", at: 4000, outcome: "completed", by: "Imke Torvald" });
  return drafts.map((draft, n) => `${JSON.stringify({ ...draft, n })}\n`).join("");
};

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "certify-"));
});
afterEach(async () => {
  await rm(folder, { recursive: true, force: true });
});

const run = async (...words: readonly string[]) => {
  const [stdout, stderr] = [new PassThrough(), new PassThrough()];
  const exit = await main(["certify", ...words], {
    stdin: Readable.from([]),
    stdout,
    stderr,
    environment: {},
    signal: new AbortController().signal,
    home: process.cwd(),
  });
  stdout.end();
  stderr.end();
  return { exit, out: await text(stdout), error: await text(stderr) };
};

const saved = async (lines: string): Promise<string> => {
  const path = join(folder, "run.jsonl");
  await writeFile(path, lines);
  return path;
};

test("writes PDF and XML of one number, and says where", async () => {
  const out = join(folder, "new", "certificates");
  const {
    exit,
    out: line,
    error,
  } = await run(await saved(logLines()), "--out", out, "--number", "C-7", "--issued", "2026-04-02");
  expect(error).toBe("");
  expect(exit).toBe(0);
  expect(JSON.parse(line)).toMatchObject({
    number: "C-7",
    issued: "2026-04-02",
    pdf: join(out, "C-7.pdf"),
    xml: join(out, "C-7.xml"),
    check: { stops: [] },
  });
  expect((await readdir(out)).toSorted()).toEqual(["C-7.pdf", "C-7.te-1.label.pdf", "C-7.xml", "run-1.check.json"]);
  expect((await readFile(join(out, "C-7.pdf"))).subarray(0, 5).toString()).toBe("%PDF-");
  expect(await readFile(join(out, "C-7.xml"), "utf8")).toContain("<dcc:uniqueIdentifier>C-7</dcc:uniqueIdentifier>");
});

test("writes it in the languages asked for, and an amendment that names what it replaces by its XML", async () => {
  const log = await saved(logLines());
  await run(log, "--out", folder, "--number", "C-7", "--issued", "2026-04-02", "--languages", "fr,de");
  const first = await readFile(join(folder, "C-7.xml"));
  expect(first.toString("utf8")).toContain("<dcc:mandatoryLangCodeISO639_1>fr</dcc:mandatoryLangCodeISO639_1>");
  const words = ["--out", folder, "--number", "C-7-A1", "--issued", "2026-04-03", "--amends", join(folder, "C-7.xml")];
  const amended = await run(
    log,
    ...words,
    "--reason",
    "The serial number was misread",
    "--correct",
    "item.serial:te-1=S-2",
    "--due",
    "2027-04-02",
    "--agreed-with",
    "Maintenance",
  );
  expect(amended.error).toBe("");
  const xml = await readFile(join(folder, "C-7-A1.xml"), "utf8");
  expect(xml).toContain("<dcc:replacedUniqueIdentifier>C-7</dcc:replacedUniqueIdentifier>");
  expect(xml).toContain(`<dcc:value>${createHash("sha256").update(first).digest("hex")}</dcc:value>`);
  expect(xml).toContain("Serial number: S-1 → S-2.");
  expect(xml).toContain("Next calibration: not stated → 2027-04-02, as agreed with Maintenance.");
});

test.each([
  [["--languages", "en,xx"], /--languages wants en, de, es, fr/],
  [["--due", "2027-01-01"], /belong together/],
  [["--reason", "x"], /--reason belongs to --amends/],
  [["--correct", "U=0.1"], /--correct wants/],
  [["--correct", "item.serial=S-2"], /--correct wants/],
  [["--correct", "place:te-1=Hall"], /--correct wants/],
])("terms %o are wrong usage", async (words, sentence) => {
  const { exit, error } = await run(await saved(logLines()), "--out", folder, "--issued", "2026-04-02", ...words);
  expect(exit).toBe(2);
  expect(JSON.parse(error).error.message).toMatch(sentence);
});

test("a logo that is no picture is refused, and nothing is written", async () => {
  const log = await saved(logLines());
  const { exit, error } = await run(log, "--out", join(folder, "none"), "--issued", "2026-04-02", "--logo", log);
  expect(exit).toBe(1);
  expect(JSON.parse(error).error.message).toContain("neither PNG nor SVG");
  await expect(readdir(join(folder, "none"))).rejects.toThrow("ENOENT");
});

test("writes the check list with the validation of each point beside it, the same from the same log [C45]", async () => {
  const log = await saved(logLines());
  const made = [];
  for (const name of ["a", "b"]) {
    const { out } = await run(log, "--out", join(folder, name), "--issued", "2026-04-02");
    const { checkFile } = JSON.parse(out) as { checkFile: string };
    expect(checkFile).toBe(join(folder, name, "run-1.check.json"));
    made.push(JSON.parse(await readFile(checkFile, "utf8")));
  }
  expect(made[0]).toEqual(made[1]);
  expect(made[0]).toMatchObject({
    format: "dwellpoint-check/1",
    run: "run-1",
    certificate: "CV-1",
    check: { stops: [] },
  });
  const { validation } = made[0] as { validation: PointValidation[] };
  expect(validation.map(({ status, nominal }) => ({ status, nominal }))).toEqual([
    { status: "validated", nominal: 50 },
    { status: "validated", nominal: 100 },
  ]);
  const own = validatePoints(parseLog(logLines().split("\n")), evaluate(parseLog(logLines().split("\n"))), {
    trials: "decisive",
  });
  expect(validation).toEqual(JSON.parse(JSON.stringify(own)));
});

test("told to stop, it says of each point that it was not validated, and certifies all the same [C45]", async () => {
  const [stdout, stderr] = [new PassThrough(), new PassThrough()];
  const exit = await main(["certify", await saved(logLines()), "--out", folder, "--issued", "2026-04-02"], {
    stdin: Readable.from([]),
    stdout,
    stderr,
    environment: {},
    signal: AbortSignal.abort(),
    home: process.cwd(),
  });
  expect(exit).toBe(0);
  stdout.end();
  const { check, checkFile } = JSON.parse(await text(stdout));
  const { validation } = JSON.parse(await readFile(checkFile, "utf8"));
  expect(validation).toMatchObject([{ code: "uncertainty.cancelled" }, { code: "uncertainty.cancelled" }]);
  expect(check.warnings.map(({ message }: { message: string }) => message)).toContainEqual(
    expect.stringContaining("2 points could not be validated by Monte Carlo (TE-1, as found, 50"),
  );
});

test("gives the same bytes for the same log and issue data", async () => {
  const log = await saved(logLines());
  for (const name of ["a", "b"]) await run(log, "--out", join(folder, name), "--issued", "2026-04-02");
  expect(
    Buffer.compare(await readFile(join(folder, "a", "CV-1.pdf")), await readFile(join(folder, "b", "CV-1.pdf"))),
  ).toBe(0);
});

test("refuses with every sentence when a stop holds, and writes nothing", async () => {
  const late = {
    ...job.kit,
    reference: { ...job.kit.reference, calibration: { ...job.kit.reference.calibration, due: "2026-01-31" } },
  };
  const out = join(folder, "none");
  const {
    exit,
    out: line,
    error,
  } = await run(await saved(logLines({ kit: late })), "--out", out, "--issued", "2026-03-01");
  expect(exit).toBe(1);
  expect(line).toBe("");
  const { error: fault } = JSON.parse(error);
  expect(fault.code).toBe("certificate.incomplete");
  expect(fault.message).toContain("The reference PR-1 was out of calibration");
  expect(fault.message).toContain("The date of issue 2026-03-01 lies before the end of the calibration");
  await expect(readdir(out)).rejects.toThrow("ENOENT");
});

test.each([
  [[], /wants one run log/],
  [["log.jsonl"], /wants --out DIR/],
  [["log.jsonl", "--out", "x", "--colour"], /--colour/],
])("wrong usage %o is said", async (words, sentence) => {
  const { exit, error } = await run(...words);
  expect(exit).toBe(2);
  expect(JSON.parse(error).error.message).toMatch(sentence);
});

test("a number that would leave the folder is wrong usage", async () => {
  const { exit, error } = await run(await saved(logLines()), "--out", folder, "--number", "../../x");
  expect(exit).toBe(2);
  expect(JSON.parse(error).error.message).toContain("--number wants letters");
});

test("a log that is not there is named", async () => {
  const { exit, error } = await run(join(folder, "none.jsonl"), "--out", folder);
  expect(exit).toBe(1);
  expect(JSON.parse(error).error).toMatchObject({
    code: "input.invalid",
    message: expect.stringContaining("none.jsonl cannot be read (ENOENT)"),
  });
});

test("a folder that cannot be made is named", async () => {
  const file = await saved(logLines());
  const { exit, error } = await run(file, "--out", join(file, "below"), "--issued", "2026-04-02");
  expect(exit).toBe(1);
  expect(JSON.parse(error).error).toMatchObject({
    code: "records.read-only",
    message: expect.stringContaining("cannot be written to"),
  });
});

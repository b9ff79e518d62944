import { describe, expect, test } from "vitest";
import type { EventDraft, Job } from "#calibration";
import {
  adjustedItem,
  measuredPoint,
  passResult,
  sampleJob,
  sampleLog,
  sampleResult,
  sampleRun,
} from "../fixtures/sample-run.test-support.ts";
import { certificateDocument } from "./certificate-document.ts";
import { issueDay } from "./issue-day.ts";

const hash = "0".repeat(64);
const documentOf = (run: Omit<ReturnType<typeof sampleRun>, "job">) =>
  certificateDocument({ ...run, language: "en", logHash: hash, fit: true });

test("every figure of a row is the reported text, and limits are those of the result", () => {
  const run = sampleRun();
  const document = documentOf(run);
  for (const [p, pass] of run.result.items[0]!.passes.entries()) {
    for (const [i, row] of document.items[0]!.passes[p]!.rows.entries()) {
      const point = pass.points[i]!;
      expect(point).toMatchObject({
        reported: {
          reference: row.reference.plain,
          indication: row.indication.plain,
          error: row.error.plain,
          U: row.U.plain,
          k: row.k.plain,
        },
        conformity: {
          tolerance: { lower: Number(row.limits!.lower), upper: Number(row.limits!.upper) },
          decision: row.decision.kind,
        },
      });
    }
  }
});

test("the evidence of settling is the last one of the point, and its target", () => {
  const { evidence } = documentOf(sampleRun()).items[0]!;
  expect(evidence.columns[0]).toBe("Pass");
  expect(evidence.rows[0]).toEqual(["As found", "0", "20", "4.0453\u202fmA", "0.020", "0.10"]);
  expect(evidence.rows).toHaveLength(8);
});

test("points without result are named with their reason, those alike in one sentence; repeated points too", () => {
  const job = sampleJob();
  const away = (point: number, reason: string) => ({
    status: "skipped" as const,
    point,
    nominal: job.procedure.points[point]!.temperature,
    reason,
    origin: [],
  });
  const items = [
    {
      ...adjustedItem(job),
      adjustment: null,
      passes: [
        passResult("as-found", [
          measuredPoint(job, 0, { error: 0.1, U: 0.05 }),
          away(1, "no time left"),
          away(2, "no time left"),
          { status: "flagged" as const, point: 3, nominal: 150, reason: "The circuit is open.", origin: [] },
        ]),
      ],
    },
  ];
  const repeated: EventDraft = {
    kind: "point-repeated",
    at: 10,
    pass: "as-found",
    point: 0,
    reason: "probe moved",
    by: "Imke Torvald",
  };
  const log = sampleLog(job, items, [repeated]);
  const document = documentOf({
    log,
    result: { ...sampleResult(job, items), outcome: "stopped" },
    issued: { date: "2026-04-02" },
  });
  expect(document.items[0]!.passes[0]!.remarks).toEqual([
    "The points at 50\u202f°C and 100\u202f°C were skipped: no time left.",
    "The point at 150\u202f°C has no result because its signal was faulty: The circuit is open.",
    "The point at 0\u202f°C was measured again: probe moved.",
  ]);
  const deviations = document.statements.find(({ id }) => id === "deviations")!.text;
  expect(deviations).toContain("The run was stopped before its end.");
  expect(deviations).toContain("TT-204: not every point of the method has a result as found");
  expect(document.items[0]!.adjustment).toBe("The item was not adjusted between the results as found and as left.");
});

describe("the decision rule in words", () => {
  const ruleOf = (decision: Job["procedure"]["decision"], U = 0.05) => {
    const job = sampleJob((plain) => ({ ...plain, procedure: { ...plain.procedure, decision } }));
    const items = [
      {
        ...adjustedItem(job),
        adjustment: null,
        passes: [passResult("as-found", [measuredPoint(job, 0, { error: 0.1, U })])],
      },
    ];
    const document = documentOf({
      log: sampleLog(job, items),
      result: sampleResult(job, items),
      issued: { date: "2026-04-02" },
    });
    return {
      text: document.statements.find(({ id }) => id === "decision-rule")!.text,
      columns: document.items[0]!.passes[0]!.columns.map(({ key }) => key),
    };
  };

  test("simple acceptance states its 50 % and has no column of acceptance limits", () => {
    const { text, columns } = ruleOf({ kind: "simple" });
    expect(text).toContain("without a guard band (w = 0)");
    expect(text).toContain("50 %");
    expect(columns).not.toContain("acceptance");
  });

  // ILAC-G8:09/2019 gives the bound of 2.5 % for w = U; a narrower band has no such bound.
  test.each([
    [1, "w = U", true],
    [1.5, "w = 1.5·U", true],
    [0.83, "w = 0.83·U", false],
  ])("guard band r = %s", (factor, words, bounded) => {
    const { text, columns } = ruleOf({ kind: "guard-band", factor });
    expect(text).toContain(words);
    expect(text.includes("2.5 %")).toBe(bounded);
    expect(columns).toContain("acceptance");
  });

  test("a stated specific risk is said with its figure, and the acceptance limits that follow have their column", () => {
    const { text, columns } = ruleOf({ kind: "specific-risk", limit: 0.02 });
    expect(text).toContain("outside the tolerance is 2.0\u202f% or less");
    expect(text).toContain("JCGM 106:2012, 8.3.2");
    expect(columns).toContain("acceptance");
  });

  // The bounds for w = U are those of ILAC-G8:09/2019, 4.2.3.
  test("the four statements of ILAC-G8 each have their words and their risk", () => {
    const { text, columns } = ruleOf({ kind: "g8-non-binary" });
    for (const words of ["Pass: ", "Conditional pass: ", "Conditional fail: ", "Fail: "]) expect(text).toContain(words);
    expect(text.match(/2\.5 % or less/g)).toHaveLength(2);
    expect(text.match(/up to 50 %/g)).toHaveLength(2);
    expect(columns).toContain("acceptance");
  });

  test.each([
    [0.35, "pass", "Pass"],
    [0.45, "conditional-pass", "Conditional pass"],
    [0.55, "conditional-fail", "Conditional fail"],
    [0.65, "fail", "Fail"],
  ])("an error of %d K against ±0.5 K with U = 0.1 K is said as %s", (error, kind, word) => {
    const job = sampleJob((plain) => ({
      ...plain,
      procedure: { ...plain.procedure, passes: ["as-found"], decision: { kind: "g8-non-binary" } },
    }));
    const points = [measuredPoint(job, 0, { error, U: 0.1 })];
    const items = [{ ...adjustedItem(job), adjustment: null, passes: [passResult("as-found", points)] }];
    const document = documentOf({
      log: sampleLog(job, items),
      result: sampleResult(job, items),
      issued: { date: "2026-04-02" },
    });
    expect(document.items[0]!.passes[0]!.rows[0]!.decision).toEqual({ kind, word });
  });

  test("says what undecided means where a point is", () => {
    expect(ruleOf({ kind: "guard-band", factor: 1 }).text).not.toContain("undecided");
    expect(ruleOf({ kind: "guard-band", factor: 1 }, 0.8).text).toContain(
      "the point is called undecided; that is not a failure",
    );
  });
});

describe("sensors in words", () => {
  test.each<[Job["items"][number]["sensor"], string]>([
    [{ kind: "thermocouple", type: "K" }, "Thermocouple type K, reference function of IEC 60584-1"],
    [
      { kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
      "R₀\u00a0=\u00a0100\u202fΩ, A\u00a0=\u00a03.9083·10⁻³\u00a0°C⁻¹, B\u00a0=\u00a0−5.775·10⁻⁷\u00a0°C⁻², C\u00a0=\u00a0−4.183·10⁻¹²\u00a0°C⁻⁴",
    ],
    [
      { kind: "platinum", equation: "its-90", rtpw: 25.4961, coefficients: [] },
      "ITS-90 deviation functions, R(0.01 °C) = 25.4961\u202fΩ",
    ],
    [{ kind: "loop", lower: -50, upper: 150 }, "4\u202fmA to 20\u202fmA for −50\u202f°C to 150\u202f°C, linear"],
    [{ kind: "indication" }, "Indicating thermometer"],
    [{ kind: "thermistor", equation: "steinhart-hart", a: 1, b: 2, c: 3 }, "Thermistor"],
  ])("%o", (sensor, words) => {
    const document = documentOf(
      sampleRun((job) => ({ ...job, items: job.items.map((item) => ({ ...item, sensor })) })),
    );
    expect(document.items[0]!.facts.find(({ label }) => label === "Sensor")!.text).toContain(words);
    expect(document.items[0]!.notCalibrated).toContain("not.");
  });

  test("the reference junction of a thermocouple and a class of a standard", () => {
    const document = documentOf(
      sampleRun((job) => ({
        ...job,
        items: job.items.map((item) => ({
          ...item,
          sensor: { kind: "thermocouple" as const, type: "K" as const },
          coldJunction: { kind: "channel" as const, channel: "junction", halfWidth: 0.1 },
          tolerance: { class: "iec-60584-1/1" as const },
        })),
      })),
    );
    const facts = Object.fromEntries(document.items[0]!.facts.map(({ label, text }) => [label, text]));
    expect(facts["Reference junction"]).toBe("Measured on channel junction, ±0.1\u202fK");
    expect(facts["Specification"]).toBe("IEC 60584-1, tolerance class 1");
  });
});

test("the number is the one given at issue, else the job's certificate number, else the job's number", () => {
  const run = sampleRun();
  expect(documentOf({ ...run, issued: { ...run.issued, number: "X-1" } }).number).toBe("X-1");
  expect(documentOf(run).number).toBe("CVC-2026-00412");
  expect(documentOf(sampleRun((job) => ({ ...job, certificate: undefined }))).number).toBe("CV-2026-0117");
});

test("a run on a simulated bench carries the rehearsal band even when its job does not say so", () => {
  const run = sampleRun();
  const [opened, ...rest] = run.log;
  const log = [{ ...opened, job: { ...run.job, rehearsal: false } } as typeof opened, ...rest] as typeof run.log;
  expect(documentOf({ ...run, log }).bands).toEqual(["Rehearsal on a simulated bench — not a calibration certificate"]);
});

test("proposes today for the day of issue, or the end of a run that is ahead of the calendar", () => {
  const { log, result } = sampleRun();
  expect(issueDay(log, result, "2026-05-01")).toBe("2026-05-01");
  expect(issueDay(log, result, "2026-03-30")).toBe("2026-03-31");
});

test("no text recommends an interval", () => {
  expect(JSON.stringify(documentOf(sampleRun()))).not.toMatch(/next calibration|recalibrat|interval/i);
});

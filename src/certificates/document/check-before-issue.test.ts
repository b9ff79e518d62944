import { describe, expect, test } from "vitest";
import type { Job, MeasuredPoint, Result } from "#calibration";
import {
  adjustedItem,
  measuredPoint,
  passResult,
  sampleJob,
  sampleLog,
  sampleResult,
  sampleRun,
} from "../fixtures/sample-run.test-support.ts";
import { checkBeforeIssue } from "./check-before-issue.ts";
import type { IssueData } from "./model.ts";

const issued: IssueData = { date: "2026-04-02" };

const stopsOfJob = (change: (job: Job) => Job, data: IssueData = issued) =>
  checkBeforeIssue({ ...sampleRun(change), issued: data }).stops;

const stopsOfResult = (change: (result: Result) => Result) => {
  const run = sampleRun();
  return checkBeforeIssue({ ...run, result: change(run.result) }).stops;
};

/** The sample's result with its as-found points changed. */
const withPoint =
  (change: (point: MeasuredPoint) => Result["items"][number]["passes"][number]["points"][number]) =>
  (result: Result): Result => ({
    ...result,
    items: result.items.map((item) => ({
      ...item,
      passes: item.passes.map((pass) => ({
        ...pass,
        points: pass.points.map((point, index) =>
          pass.pass === "as-found" && index === 1 && point.status === "measured" ? change(point) : point,
        ),
      })),
    })),
  });

test("a complete run has no stop", () => {
  expect(checkBeforeIssue(sampleRun()).stops).toEqual([]);
});

describe("what the paper must state", () => {
  test.each<[string, (job: Job) => Job, string]>([
    [
      "7.8.2.1 b",
      (job) => ({ ...job, laboratory: { ...job.laboratory, name: " " } }),
      "The laboratory is not named with its address.",
    ],
    [
      "7.8.2.1 b",
      (job) => ({ ...job, laboratory: { ...job.laboratory, address: [] } }),
      "The laboratory is not named with its address.",
    ],
    ["7.8.2.1 c", (job) => ({ ...job, place: "" }), "The place of the calibration is missing."],
    [
      "7.8.2.1 e",
      (job) => ({ ...job, customer: { ...job.customer, name: "" } }),
      "The customer is not named with an address.",
    ],
    [
      "7.8.2.1 f",
      (job) => ({ ...job, procedure: { ...job.procedure, method: { ...job.procedure.method, revision: "" } } }),
      "The method is not identified.",
    ],
    [
      "7.8.2.1 g",
      (job) => ({ ...job, items: job.items.map((item) => ({ ...item, serial: "" })) }),
      "Item tt-204 is not identified beyond doubt.",
    ],
    ["7.8.2.1 o", (job) => ({ ...job, authorisedBy: undefined }), "Nobody is named who authorises the certificate."],
    ["7.8.2.1 d", (job) => ({ ...job, certificate: "" }), "The certificate has no number."],
  ])("%s: %#", (clause, change, sentence) => {
    const stops = stopsOfJob(change);
    expect(stops.map((stop) => stop.clause)).toEqual([clause]);
    expect(stops[0]!.message).toContain(sentence);
  });

  test.each([
    ["2026-03-30", "lies before the end of the calibration, 2026-03-31"],
    ["2026-02-30", "is not a day"],
  ])("7.8.2.1 j: a date of issue %s is refused", (date, words) => {
    expect(stopsOfJob((job) => job, { date })).toEqual([
      { clause: "7.8.2.1 j", message: expect.stringContaining(words) },
    ]);
  });

  test("7.8.2.1 i: a run that has not ended is refused", () => {
    expect(stopsOfResult((result) => ({ ...result, outcome: "open" }))).toEqual([
      { clause: "7.8.2.1 i", message: expect.stringContaining("The run has not ended") },
    ]);
  });

  test("7.11: a result of another run is refused", () => {
    expect(stopsOfResult((result) => ({ ...result, run: "run-9" }))).toEqual([
      {
        clause: "7.11",
        message:
          "The result belongs to run run-9 and the log to run run-0117-1. Evaluate this log and certify its own result.",
      },
    ]);
  });
});

const withReference =
  (change: Partial<Job["kit"]["reference"]["calibration"]>) =>
  (job: Job): Job => ({
    ...job,
    kit: {
      ...job.kit,
      reference: { ...job.kit.reference, calibration: { ...job.kit.reference.calibration, ...change } },
    },
  });

describe("traceability", () => {
  test("a reference out of calibration is refused, on the last day of the work", () => {
    expect(stopsOfJob(withReference({ due: "2026-03-30" }))).toEqual([
      {
        clause: "6.4.6",
        message:
          "The reference PR-2207 was out of calibration: its certificate NT-25-3391 held until 2026-03-30, and the work ended on 2026-03-31. Measure again with a reference in calibration.",
      },
    ]);
    expect(stopsOfJob(withReference({ due: "2026-03-31" }))).toEqual([]);
  });

  test("a calibration made after the work is refused", () => {
    expect(stopsOfJob(withReference({ date: "2026-03-31" }))).toEqual([
      { clause: "6.4.6", message: expect.stringContaining("after the work began on 2026-03-30") },
    ]);
  });

  test("a readout out of calibration is refused", () => {
    const stops = stopsOfJob((job) => ({
      ...job,
      kit: {
        ...job.kit,
        readout: { ...job.kit.readout, calibration: { ...job.kit.readout.calibration, due: "2026-01-01" } },
      },
    }));
    expect(stops).toEqual([
      { clause: "6.4.6", message: expect.stringContaining("The readout TR-1180 was out of calibration") },
    ]);
  });

  test.each([
    [{ certificate: " " }, "has no complete calibration"],
    [{ laboratory: "" }, "has no complete calibration"],
    [{ uncertainty: 0 }, "states no uncertainty"],
    [{ uncertainty: [{ temperature: 0, value: 0 }] }, "states no uncertainty"],
  ])("7.8.4.1 c: a reference whose calibration says %o is refused", (change, words) => {
    expect(stopsOfJob(withReference(change))).toEqual([
      { clause: "7.8.4.1 c", message: expect.stringContaining(words) },
    ]);
  });

  test("points outside the reference's range are refused, each once", () => {
    const stops = stopsOfJob((job) => ({
      ...job,
      kit: { ...job.kit, reference: { ...job.kit.reference, range: { minimum: 0, maximum: 120 } } },
    }));
    expect(stops).toEqual([
      { clause: "7.8.4.1 c", message: expect.stringMatching(/^The point at 150\u202f°C lies outside the range/) },
    ]);
  });
});

describe("results", () => {
  test("7.8.4.1 a: a result without uncertainty is refused", () => {
    const stops = stopsOfResult(withPoint((point) => ({ ...point, budget: { ...point.budget, U: 0 } })));
    expect(stops).toEqual([
      {
        clause: "7.8.4.1 a",
        message: expect.stringContaining("TT-204, as found, 50\u202f°C: the result has no uncertainty."),
      },
    ]);
  });

  test.each([
    { U: "0.0971", error: "0.5610" },
    { U: "0.097", error: "0.56" },
  ])("ILAC-P14: U = $U with error $error is refused", (reported) => {
    const stops = stopsOfResult(withPoint((point) => ({ ...point, reported: { ...point.reported, ...reported } })));
    expect(stops.map(({ clause }) => clause)).toEqual(["ILAC-P14"]);
  });

  test.each([
    { U: "1.2", error: "-0.3" },
    { U: "12", error: "5" },
    { U: "120", error: "50" },
    { U: "0.010", error: "0.000" },
  ])("ILAC-P14: U = $U with error $error is rounded well", (reported) => {
    expect(stopsOfResult(withPoint((point) => ({ ...point, reported: { ...point.reported, ...reported } })))).toEqual(
      [],
    );
  });

  test("7.8.6.2: neither a statement of conformity nor a reason is refused", () => {
    const stops = stopsOfResult(withPoint((point) => ({ ...point, conformity: null, conformityNote: null })));
    expect(stops.map(({ clause }) => clause)).toEqual(["7.8.6.2"]);
  });

  test("7.8.6.1: a job without a rule is refused", () => {
    const stops = stopsOfJob((job) => ({
      ...job,
      procedure: { ...job.procedure, decision: { kind: "none" } as unknown as Job["procedure"]["decision"] },
    }));
    expect(stops.map(({ clause }) => clause)).toEqual(["7.8.6.1"]);
  });

  test("a flagged point is refused, with what to do", () => {
    const stops = stopsOfResult(
      withPoint(({ point, nominal }) => ({
        status: "flagged",
        point,
        nominal,
        reason: "The circuit is open",
        origin: [7],
      })),
    );
    expect(stops).toEqual([
      {
        clause: "7.8.2.1 m",
        message:
          "TT-204, as found, 50\u202f°C: the point is flagged: The circuit is open. Repeat the point, or skip it with a reason.",
      },
    ]);
  });

  test("an item without any result is refused", () => {
    expect(stopsOfResult((result) => ({ ...result, items: [] }))).toEqual([
      { clause: "7.8.2.1 m", message: "Item TT-204 has no result. Measure it, or take it out of the job." },
    ]);
  });

  test.each(["as-found", "as-left"] as const)("7.8.4.1 d: an adjusted item without results %s is refused", (name) => {
    const stops = stopsOfResult((result) => ({
      ...result,
      items: result.items.map((item) => ({ ...item, passes: item.passes.filter(({ pass }) => pass !== name) })),
    }));
    expect(stops).toEqual([
      { clause: "7.8.4.1 d", message: expect.stringContaining(`there are no results ${name.replace("-", " ")}`) },
    ]);
  });
});

describe("warnings", () => {
  const warningsOf = (change: (job: Job) => Job) =>
    checkBeforeIssue(sampleRun(change)).warnings.map(({ message }) => message);

  test("a failed point is named, with the duty to tell the customer", () => {
    expect(warningsOf((job) => job)).toContainEqual(
      expect.stringMatching(/^TT-204, as found, 50\u202f°C: error 0\.561 K, fail\. Tell the customer/),
    );
  });

  test.each<[string, (job: Job) => Job, RegExp]>([
    [
      "interval",
      (job) => ({
        ...job,
        items: job.items.map((item) => ({ ...item, condition: "Sticker: next calibration in May" })),
      }),
      /recommends no interval/,
    ],
    ["one person for both", (job) => ({ ...job, authorisedBy: job.technician }), /both measured and authorises/],
    [
      "condition",
      (job) => ({ ...job, items: job.items.map((item) => ({ ...item, condition: undefined })) }),
      /condition as received/,
    ],
    [
      "source",
      (job) => ({ ...job, kit: { ...job.kit, source: { ...job.kit.source, characterised: undefined } } }),
      /heat source DB-0914/,
    ],
  ])("%s", (_, change, words) => {
    expect(warningsOf(change)).toContainEqual(expect.stringMatching(words));
  });

  test("skipped and undecided points, a stopped run, and missing evidence of settling are named", () => {
    const job = sampleJob();
    const item = adjustedItem(job);
    const points = [
      { status: "skipped" as const, point: 0, nominal: 0, reason: "bath too warm", origin: [3] },
      measuredPoint(job, 1, { error: 0.1, U: 0.7 }),
    ];
    const items = [{ ...item, adjustment: null, passes: [passResult("as-found", points)] }];
    const log = sampleLog(job, items).filter(({ kind }) => kind !== "point-settled");
    const { stops, warnings } = checkBeforeIssue({
      log,
      result: { ...sampleResult(job, items), outcome: "stopped" },
      issued,
    });
    expect(stops).toEqual([]);
    const messages = warnings.map(({ message }) => message);
    expect(messages).toContainEqual(
      expect.stringContaining("the point was skipped: bath too warm. The certificate says so."),
    );
    expect(messages).toContainEqual(expect.stringContaining("undecided, because U = 0.70 K leaves no room"));
    expect(messages).toContainEqual(expect.stringContaining("The run was stopped before its end."));
    expect(messages).toContainEqual(expect.stringContaining("The log holds no evidence that the points had settled."));
  });
});

test("a log without its first line is a fault", () => {
  const run = sampleRun();
  expect(() => checkBeforeIssue({ ...run, log: run.log.slice(1) })).toThrow(/does not begin with run-opened/);
});

import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { unwrap, type FaultValue } from "#fault";
import { evaluate, parseLog, type Job, type RunEvent } from "#calibration";
import { loadJob } from "../job/load-job.ts";
import { logFromReadings, type LogInput } from "./log-from-readings.ts";
import { readReadingsCsv } from "./read-readings.ts";

const folder = new URL("../../../examples/", import.meta.url);
const load = (name: string): Job => unwrap(loadJob(readFileSync(new URL(name, folder), "utf8"), name));
const job = load("recorded-elsewhere/job.yaml");
const transmitter = load("transmitter-4-20.yaml");
const example = readFileSync(new URL("recorded-elsewhere/readings.csv", folder), "utf8");

const outcomeOf = (text: string, changes: Partial<LogInput> = {}) => {
  const of = changes.job ?? job;
  const readings = unwrap(readReadingsCsv(text, { job: of, name: "r.csv" }));
  return logFromReadings({
    job: of,
    readings,
    run: "run-1",
    opened: null,
    software: { name: "dwellpoint", version: "0.1.0" },
    catalog: [],
    ...changes,
  });
};

const logOf = (text: string, changes: Partial<LogInput> = {}): RunEvent[] => unwrap(outcomeOf(text, changes));

const refusal = (text: string, changes: Partial<LogInput> = {}): FaultValue => {
  const outcome = outcomeOf(text, changes);
  if (outcome.ok) throw new Error("was accepted");
  return outcome.fault;
};

/** Pairs of readings of reference and item, a second apart, from (time, pass, point) rows. */
const pairs = (
  rows: readonly (readonly [time: number, pass: string, point: string])[],
  unit = "Ω",
  value = 100,
): string =>
  [
    "time,channel,value,unit,pass,point",
    ...rows.flatMap(([time, pass, point]) => [
      `${time},reference,100.0${time % 7},Ω,${pass},${point}`,
      `${time + 1},item-1,${value}.0${time % 5},${unit},${pass},${point}`,
    ]),
  ].join("\n");

const kinds = (log: readonly RunEvent[]): string[] =>
  log.map((event) =>
    "pass" in event && "point" in event
      ? `${event.kind} ${event.pass} ${event.point}`
      : "pass" in event
        ? `${event.kind} ${event.pass}`
        : event.kind,
  );

describe("the log of readings recorded elsewhere", () => {
  const log = logOf(example);

  it("is a log by its own format, with the moments of the file", () => {
    const lines = log.map((event) => JSON.stringify(event));
    expect(parseLog(lines)).toEqual(log);
    expect(log[0]).toMatchObject({
      kind: "run-opened",
      run: "run-1",
      opened: "2026-11-24T09:04:00.000Z",
      seed: null,
      job: { job: "CV-2611-004" },
    });
    expect(log.find((event) => event.kind === "point-measured")).toMatchObject({
      pass: "as-found",
      point: 0,
      from: 960,
      to: 1071,
    });
    expect(log.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed", by: "Orla Penhallow (demo)" });
  });

  it("holds every reading of the file once, with its digits", () => {
    const blocks = log.filter((event) => event.kind === "readings-taken");
    expect(blocks.flatMap(({ values }) => values)).toHaveLength(90);
    expect(blocks[0]).toMatchObject({
      channel: "reference",
      unit: "Ω",
      times: [0, 240, 480],
      wire: ["101.702", "100.353", "100.079"],
    });
  });

  // The errors that the file was made with: 0.06, 0.09 and 0.13 K (see the example); readings carry 0.005 K of noise.
  it("can be evaluated: each point measured, its drift in the budget in place of settling evidence", () => {
    const { points } = evaluate(log).items[0]!.passes[0]!;
    const errors = points.map((point) => (point.status === "measured" ? point.error.value : Number.NaN));
    for (const [index, truth] of [0.06, 0.09, 0.13].entries())
      expect(Math.abs(errors[index]! - truth)).toBeLessThan(0.005);
    expect(points.map((point) => (point.status === "measured" ? point.conformity?.decision : point.status))).toEqual([
      "pass",
      "pass",
      "pass",
    ]);
    expect(evaluate(log).warnings[0]).toMatch(/holds no evidence that TT-221 had settled/);
  });

  it("says which planned points the file lacks", () => {
    const shorter = logOf(
      pairs([
        [0, "", "2"],
        [10, "", "2"],
        [20, "", "2"],
      ]),
      { opened: "2026-11-24T09:00:00Z" },
    );
    expect(shorter.filter((event) => event.kind === "point-skipped")).toMatchObject([
      { pass: "as-found", point: 0, reason: "r.csv has no readings of it" },
      { pass: "as-found", point: 2, reason: "r.csv has no readings of it" },
    ]);
  });

  it("rejects what the file leaves out of a point, with its line", () => {
    const text = pairs([
      [0, "", "1"],
      [10, "", ""],
      [20, "", "1"],
      [30, "", "1"],
    ]);
    const rejected = logOf(text, { opened: "2026-11-24T09:00:00Z" }).filter(
      (event) => event.kind === "reading-rejected",
    );
    expect(rejected).toMatchObject([
      { channel: "reference", time: 10, reason: "r.csv:4 does not count it to the point" },
      { channel: "item-1", time: 11, reason: "r.csv:5 does not count it to the point" },
    ]);
  });

  it("keeps readings of both passes apart, and says that the adjustment is not in the file", () => {
    const text = pairs(
      [
        [0, "as-found", "1"],
        [10, "as-found", "1"],
        [100, "as-left", ""],
        [110, "as-left", "1"],
        [120, "as-left", "1"],
      ],
      "mA",
      4,
    );
    const both = logOf(text, {
      job: { ...transmitter, procedure: { ...transmitter.procedure, points: [{ temperature: 0 }] } },
      opened: "2026-11-24T09:00:00Z",
    });
    expect(kinds(both)).toEqual([
      "run-opened",
      "note-added",
      "pass-begun as-found",
      "set-point-commanded as-found 0",
      "readings-taken",
      "readings-taken",
      "point-measured as-found 0",
      "note-added",
      "pass-begun as-left",
      "set-point-commanded as-left 0",
      "readings-taken",
      "readings-taken",
      "readings-taken",
      "readings-taken",
      "point-measured as-left 0",
      "run-ended",
    ]);
    expect(evaluate(both).items[0]!.passes.map(({ points }) => points[0]!.status)).toEqual(["measured", "measured"]);
  });

  it("keeps readings after the last point", () => {
    const text = pairs([
      [0, "", "1"],
      [10, "", "1"],
      [900, "", ""],
    ]);
    expect(logOf(text, { opened: "2026-11-24T09:00:00Z" }).at(-1)).toMatchObject({ kind: "run-ended", at: 901 });
  });
});

describe("readings from which no log can be made", () => {
  it("say what to add where no point is marked", () => {
    const expected =
      'r.csv: nothing says which readings belong to which point. Add a column "point" and fill it for the readings that count: the number of the point (1 is the first) or its temperature; leave it empty on the way to a point.';
    expect(
      refusal("time,channel,value,unit\n0,reference,100,Ω\n0,item-1,100,Ω", { opened: "2026-11-24T09:00:00Z" }),
    ).toMatchObject({ code: "input.invalid", message: expected });
    expect(refusal(pairs([[0, "", ""]]), { opened: "2026-11-24T09:00:00Z" }).message).toBe(expected);
  });

  it("say that nobody told when the seconds began", () => {
    expect(
      refusal(
        pairs([
          [0, "", "1"],
          [10, "", "1"],
        ]),
      ).message,
    ).toBe(
      'r.csv counts seconds and does not say from when. Say when second 0 was, in UTC, for example 2026-03-31T09:30:00Z, or write dates and times in the column "time".',
    );
    expect(
      refusal(
        pairs([
          [0, "", "1"],
          [10, "", "1"],
        ]),
        { opened: "yesterday" },
      ).message,
    ).toMatch(/^The run cannot be opened: opened: /);
  });

  it("name the line where a point comes a second time", () => {
    expect(
      refusal(
        pairs([
          [0, "", "1"],
          [10, "", "2"],
          [20, "", "1"],
        ]),
        { opened: "2026-11-24T09:00:00Z" },
      ).message,
    ).toBe(
      "r.csv:6: the point 1 (0 °C) as-found begins again here; it began in line 2 and another point came between. Mark only the readings that count.",
    );
  });

  it("name the line where as-found follows as-left", () => {
    const text = pairs(
      [
        [0, "as-left", "1"],
        [10, "as-found", "1"],
      ],
      "mA",
      4,
    );
    expect(refusal(text, { job: transmitter, opened: "2026-11-24T09:00:00Z" }).message).toBe(
      "r.csv:4: as-found comes after as-left here. As found is measured first; check the column pass.",
    );
  });
});

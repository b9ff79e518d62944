import { PassThrough } from "node:stream";
import { describe, expect, it } from "vitest";
import { runViewSchema, type RunView } from "#contract";
import { bar } from "../terminal/bar.ts";
import { durationText } from "../terminal/duration.ts";
import { progressLines } from "./progress-view.ts";
import { progressOn } from "./progress.ts";

const view: RunView = runViewSchema.parse({
  run: "R-1",
  job: "J-1",
  title: "A job",
  opened: "2026-03-02T08:00:00Z",
  at: 1300,
  speed: 500,
  rehearsal: true,
  stage: "settling",
  outcome: null,
  pass: "as-found",
  point: 1,
  setPoint: 100,
  pointStarted: 1000,
  route: [
    {
      pass: "as-found",
      point: 0,
      temperature: 0,
      status: "measured",
      share: 1,
      reason: null,
      errors: [{ item: "item-1", error: 0.1, U: 0.05 }],
    },
    { pass: "as-found", point: 1, temperature: 100, status: "settling", share: 0.4, reason: null, errors: [] },
    { pass: "as-found", point: 2, temperature: 150, status: "ahead", share: 0, reason: null, errors: [] },
  ],
  sentence: { happening: "The item still lags the reference.", now: "Nothing to do." },
  reference: { at: 1300, signal: 138.5, unit: "Ω", temperature: 99.987 },
  source: { at: 1300, signal: 100.02, unit: "°C", temperature: 100.02 },
  items: [
    {
      item: "item-1",
      tag: "TI-204",
      latest: { at: 1300, signal: 138.4, unit: "Ω", temperature: 99.7 },
      error: -0.287,
      tolerance: { lower: -0.8, upper: 0.8 },
    },
  ],
  settling: [
    {
      item: "item-1",
      target: 0.16,
      estimate: -0.12,
      bound: 0.31,
      ready: false,
      inTheWay: [],
      forecast: { at: 1500, from: 1450, to: 1600 },
    },
  ],
  readings: null,
  commands: ["pause"],
  cautions: [],
  faults: [],
});

describe("durations", () => {
  it.each([
    [0, "0 s"],
    [59.6, "1 min 00 s"],
    [200, "3 min 20 s"],
    [3900, "1 h 05 min"],
    [null, "—"],
    [-1, "—"],
    [Number.NaN, "—"],
  ])("%s s is %s", (seconds, text) => {
    expect(durationText(seconds)).toBe(text);
  });
});

describe("bars", () => {
  it("are as wide as asked, whatever the share", () => {
    for (const share of [-1, 0, 0.33, 1, 7, Number.NaN]) expect(bar(share, 12)).toHaveLength(12);
    expect(bar(0.5, 10)).toBe("█████░░░░░");
  });
});

describe("the picture of a run on a terminal", () => {
  it("names the point, the bound against the allowed band and the time left", () => {
    const text = progressLines(view, 120).join("\n");
    expect(text).toContain("as-found 100 °C");
    expect(text).toContain("bound ±0.310 K, allowed ±0.160 K, ready in about 3 min 20 s");
    expect(text).toContain("TI-204 99.700 °C, error -0.287 K");
    expect(text).toContain("Nothing to do.");
  });

  it("keeps every line inside the terminal", () => {
    for (const columns of [20, 40, 80]) {
      for (const line of progressLines(view, columns)) expect(line.length).toBeLessThanOrEqual(columns);
    }
  });
});

describe("progress in a pipe", () => {
  it("is JSON lines: one when the stage changes, none for a view a moment later", () => {
    const stream = new PassThrough();
    const progress = progressOn(stream);
    progress.show(view, 7);
    progress.show({ ...view, at: 1301 }, 7);
    progress.show({ ...view, at: 1302, stage: "measuring", readings: { taken: 1, wanted: 20 } }, 9);
    progress.say("A sentence.");
    progress.close();
    const lines = String(stream.read())
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line));
    expect(lines.map(({ kind, stage }) => [kind, stage])).toEqual([
      ["progress", "settling"],
      ["progress", "measuring"],
      ["message", undefined],
    ]);
    expect(lines[0].events).toBe(7);
    expect(lines[0].settling[0]).toMatchObject({ item: "item-1", bound: 0.31, target: 0.16, secondsLeft: 200 });
  });
});

import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { judgeFew } from "#settling";
import type { JobInput } from "../job/job.ts";
import { evaluate } from "./evaluate.ts";
import { InventedRun, inventedJob, inventedKit, resistor } from "./invented-run.test-support.ts";
import { leastDigit } from "./least-digit.ts";

const dial: JobInput["items"][number] = {
  ...resistor,
  id: "dial",
  tag: "TI-404",
  sensor: { kind: "indication" },
  unit: "°C",
  tolerance: { kelvin: 1 },
};

/** A kit so good that only the readings count: what they carry is put to the test, and nothing hides it. */
const fineKit: JobInput["kit"] = {
  ...inventedKit,
  reference: {
    ...inventedKit.reference,
    sensor: { kind: "indication" },
    unit: "°C",
    calibration: { ...inventedKit.reference.calibration, uncertainty: 1e-6 },
    driftPerYear: 0,
    interpolation: 0,
    selfHeating: 0,
  },
  source: { ...inventedKit.source, stability: 1e-6, axial: 0, radial: 0, loading: 0 },
};

const typed = { typed: true, unit: "°C" } as const;

const jobByHand = (channels: JobInput["bench"]["channels"], changes: Partial<JobInput> = {}) =>
  inventedJob({ items: [dial], kit: fineKit, bench: { instruments: [], channels }, ...changes });

interface Read {
  readonly count: number;
  readonly interval?: number;
  /** Difference item − reference at a moment since the first reading, K. */
  readonly difference: (time: number) => number;
  readonly reference?: (time: number) => number;
  readonly step?: number;
  /** Nothing is left of settling, and that is known. */
  readonly atRest?: boolean;
}

/** One point, read in rounds of reference and item; the evidence is what a few readings say. */
const pointOf = (
  job: ReturnType<typeof inventedJob>,
  { count, interval = 60, difference, reference, step = 0, atRest = false }: Read,
) => {
  const run = new InventedRun(job).begin();
  const place = { pass: "as-found" as const, point: 0 };
  run.add({ kind: "set-point-commanded", ...place, temperature: 0 });
  const from = 1000;
  const rounded = (value: number): number => (step > 0 ? Math.round(value / step) * step : value);
  const pairs = Array.from({ length: count }, (_, index) => {
    const since = index * interval;
    const standard = reference?.(since) ?? 0;
    return { time: from + since, reference: standard, item: rounded(standard + difference(since)) };
  });
  const evidence = judgeFew(pairs, { target: 0.2, resolution: step });
  for (const { time, reference: standard, item } of pairs) {
    run.at = time;
    const one = (channel: string, value: number) => ({
      kind: "readings-taken" as const,
      channel,
      unit: "°C" as const,
      times: [time],
      values: [value],
      wire: [value.toFixed(6)],
      by: "demo technician",
    });
    run.add(one("reference", standard));
    run.add(one("item-1", item));
  }
  if (evidence !== null) {
    const { verdict: _, readings, U, ...rest } = evidence;
    run.add({
      kind: "point-settled",
      ...place,
      item: "dial",
      evidence: {
        ...rest,
        ...(atRest ? { remainder: 0 } : {}),
        U,
        typed: readings,
        autocorrelation: 0,
        target: 0.2,
      },
    });
  }
  run.add({ kind: "point-measured", ...place, from, to: run.at });
  const point = evaluate(run.end()).items[0]!.passes[0]!.points[0]!;
  if (point.status !== "measured") throw new Error(point.reason);
  return point;
};

const byHand = jobByHand({ reference: { ...typed, display: "item" as const }, "item-1": typed });

describe("the statistics of few readings", () => {
  it("count typed pairs as independent, with n − 1 degrees of freedom, and the few of them reach k [C57]", () => {
    const steps = [0.1, 0.2, 0.3, 0.2];
    const point = pointOf(byHand, { count: 4, difference: (time) => steps[time / 60]! });
    expect(point.effectiveReadings).toBe(4);
    const line = point.budget.lines.find(({ id }) => id === "item.repeatability")!;
    expect(line).toMatchObject({ degreesOfFreedom: 3, source: expect.stringMatching(/^log: 4 pairs, read by hand/) });
    // s of 0.1, 0.2, 0.3, 0.2 is 0.0816497, over the root of 4.
    expect(line.u).toBeCloseTo(0.0408248, 6);
    const three = pointOf(byHand, { count: 3, difference: (time) => [0.1, 0.2, 0.1][time / 60]! });
    expect(three.budget.degreesOfFreedom).not.toBeNull();
    expect(three.budget.k).toBeGreaterThan(2);
  });

  const coverage = (points: number, read: (random: ReturnType<typeof seededGenerator>) => Read): number => {
    const random = seededGenerator(20261125);
    let inside = 0;
    for (let each = 0; each < points; each += 1) {
      const error = random.normal();
      const plan = read(random);
      const point = pointOf(byHand, { ...plan, difference: (time) => error + plan.difference(time) });
      if (Math.abs(point.error.value - error) <= point.budget.U) inside += 1;
    }
    return inside / points;
  };

  it.each<[string, (random: ReturnType<typeof seededGenerator>) => Read]>([
    ["scatter alone", (random) => ({ count: 4, difference: () => 0.1 * random.normal() })],
    [
      "scatter of a display as coarse as it",
      (random) => ({ count: 4, step: 0.2, difference: () => 0.1 * random.normal() }),
    ],
    [
      "a display coarser than the scatter",
      (random) => ({ count: 4, step: 0.5, difference: () => 0.05 * random.normal() }),
    ],
    [
      "a tail that is not over",
      (random) => {
        const [size, tau] = [0.4 * (2 * random.next() - 1), 30 + 150 * random.next()];
        return { count: 4, difference: (time) => size * Math.exp(-time / tau) + 0.03 * random.normal() };
      },
    ],
    [
      "a source that wanders beside it",
      (random) => {
        const phase = 6 * random.next();
        return {
          count: 4,
          reference: (time) => 0.05 * Math.sin(phase + time / 90),
          difference: () => 0.05 * random.normal(),
        };
      },
    ],
  ])("hold the truth inside the stated interval in 93 of 100 points of four readings, or more: %s [C57]", (_, read) => {
    expect(coverage(400, read)).toBeGreaterThanOrEqual(0.93);
  });

  it("are neither too narrow nor far too wide where nothing but scatter is in the way [C57]", () => {
    // 95.45 % are stated; 2000 points tell that from 93.9 % or 97 % (three standard deviations of the count: 1.4 %).
    for (const count of [3, 4, 6, 10]) {
      const held = coverage(2000, (random) => ({ count, atRest: true, difference: () => 0.1 * random.normal() }));
      expect(held).toBeGreaterThan(0.939);
      expect(held).toBeLessThan(0.97);
    }
  });

  it("hold it with three readings, when somebody had enough [C57]", () => {
    expect(coverage(400, (random) => ({ count: 3, difference: () => 0.1 * random.normal() }))).toBeGreaterThanOrEqual(
      0.93,
    );
  });
});

describe("pairs where only the reference is typed", () => {
  const wired = jobByHand(
    { reference: typed, "item-1": { instrument: "display", input: 1, unit: "°C" } },
    {
      bench: {
        instruments: [{ id: "display", entry: "generic-display", at: "simulated", role: "item" }],
        channels: { reference: typed, "item-1": { instrument: "display", input: 1, unit: "°C" } },
      },
    },
  );

  it("are made at its moments, the item brought to them [C58]", () => {
    const run = new InventedRun(wired).begin();
    const place = { pass: "as-found" as const, point: 0 };
    run.add({ kind: "set-point-commanded", ...place, temperature: 0 });
    const times = Array.from({ length: 200 }, (_, index) => 1000 + 2 * index);
    run.readings(
      "item-1",
      "°C",
      times,
      times.map((time) => 0.3 + (time - 1000) * 1e-3),
    );
    for (const time of [1051, 1151, 1251, 1351])
      run.add({
        kind: "readings-taken",
        channel: "reference",
        unit: "°C",
        times: [time],
        values: [0],
        wire: ["0.00"],
        by: "demo technician",
      });
    run.add({ kind: "point-measured", ...place, from: 1051, to: 1351 });
    const point = evaluate(run.end()).items[0]!.passes[0]!.points[0]!;
    if (point.status !== "measured") throw new Error(point.reason);
    expect(point.readings).toBe(4);
    // Between the readings at 1050 and 1052 s, and so on: 0.3 K and 1 mK a second.
    expect(point.error.value).toBeCloseTo(0.3 + (51 + 151 + 251 + 351) / 4e3, 9);
  });
});

describe("what a person reads on a channel", () => {
  const steps = (channels: JobInput["bench"]["channels"]) => {
    const point = pointOf(jobByHand(channels), {
      count: 4,
      step: 0.1,
      difference: (time) => [0.1, 0.2, 0.3, 0.2][time / 60]!,
    });
    return new Map(point.budget.lines.map(({ id, u }) => [id, u]));
  };

  it("has the step that is declared, else its digits; the readout's accuracy only where its display is read [C59]", () => {
    expect(steps({ reference: typed, "item-1": { ...typed, resolution: 0.5 } }).get("item.resolution")).toBeCloseTo(
      0.5 / Math.sqrt(12),
      9,
    );
    // Six places were typed; the readout's digit of 0.01 is not this display's.
    expect(
      steps({ reference: { ...typed, display: "item" as const }, "item-1": typed }).get("item.resolution"),
    ).toBeLessThan(1e-5);
    const own = steps({ reference: { ...typed, display: "item" as const }, "item-1": typed });
    expect(own.has("reference.readout")).toBe(false);
    expect(own.has("item.readout")).toBe(false);
    const readout = steps({ reference: typed, "item-1": { ...typed, display: "readout" as const } });
    expect(readout.get("reference.readout")).toBeCloseTo(0.1 / Math.sqrt(3), 9);
    expect(readout.get("item.readout")).toBeCloseTo(0.1 / Math.sqrt(3), 9);
  });

  it("may have a decimal comma: its digits count, a list of an instrument's values is none [C59]", () => {
    expect(leastDigit(["23,5"])).toBeCloseTo(0.1, 12);
    expect(leastDigit(["\u22120,25"])).toBeCloseTo(0.01, 12);
    expect(leastDigit(["12,34,56"])).toBe(1);
  });
});

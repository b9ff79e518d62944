import { describe, expect, it } from "vitest";
import { jobSchema } from "#calibration";
import { context, inventedJob } from "./invented-job.test-support.ts";
import { inOrder, planJob } from "./plan-job.ts";

const pointsOf = (...wanted: Parameters<typeof inventedJob>) =>
  planJob(inventedJob(...wanted), context).items[0]!.points;

describe("what a point will prove [P1]", () => {
  it("class A at 150 °C with U = 0.11 K: ratio 4.1, accepted within ±0.34 K", () => {
    // IEC 60751, class A: ±(0.15 + 0.002·|t|) K, 0.45 K at 150 °C (from memory); the rest is arithmetic.
    const [, point] = pointsOf({ reference: { calibration: { ...certificate, uncertainty: 0.11 } } });
    expect(point!.expectedU).toBeCloseTo(0.11, 3);
    expect(point!.tolerance!.upper).toBeCloseTo(0.45, 12);
    expect(point!.ratio).toBeCloseTo(4.1, 1);
    expect(point!.acceptance!.upper).toBeCloseTo(0.34, 2);
    expect(point!.acceptance!.lower).toBeCloseTo(-0.34, 2);
  });

  it.each([
    ["iec-60751/AA", 0.355],
    ["iec-60751/A", 0.45],
    ["iec-60751/B", 1.05],
    ["iec-60751/C", 2.1],
  ] as const)("the tolerance of %s at 150 °C is %s K (IEC 60751, from memory)", (grade, expected) => {
    const [, point] = pointsOf({ tolerance: { class: grade } });
    expect(point!.tolerance!.upper).toBeCloseTo(expected, 9);
    expect(point!.ratio).toBeCloseTo(expected / point!.expectedU!, 9);
  });
});

const certificate = {
  certificate: "IRL-1",
  laboratory: "Invented Reference Laboratory",
  date: "2026-11-01",
  due: "2027-11-01",
  uncertainty: 0.02,
};

describe("chances [P2, P3]", () => {
  const point = (decision: "simple" | "guard-band", U: number) =>
    pointsOf({
      points: [150],
      tolerance: { kelvin: 1 },
      decision: { kind: decision },
      reference: { calibration: { ...certificate, uncertainty: U } },
    })[0]!;

  it("says its assumption, and uses a history instead where there is one", () => {
    expect(point("simple", 0.2).risk!.assumption).toMatchObject({
      of: "class",
      mean: 0,
      sd: expect.closeTo(0.5102, 4),
    });
    const errors = [-0.3, 0.1, 0.25, -0.15, 0.05, 0.2].map((error, index) => ({
      date: `2026-0${index + 1}-10`,
      temperature: 150,
      error,
      u: 0.05,
    }));
    const job = inventedJob({ points: [150], tolerance: { kelvin: 1 } });
    const known = jobSchema.parse({ ...job, history: [{ of: "item", item: job.items[0]!.id, errors }] });
    const risk = planJob(known, context).items[0]!.points[0]!.risk!;
    expect(risk.assumption.of).toBe("item");
    expect(risk.assumption.sd).toBeLessThan(0.3);
    expect(risk.assumption.words).toContain("6 errors");
  });

  it("with simple acceptance half of the risk at the limit is wrong; a guard band of U leaves about 2.3 %", () => {
    // One-sided tail of a normal distribution at two standard uncertainties: 2.28 % (JCGM 106:2012, table 1 has 2.3 %).
    expect(point("simple", 0.2).risk!.specificRisk).toBeCloseTo(0.5, 6);
    expect(point("guard-band", 0.2).risk!.specificRisk).toBeCloseTo(0.0228, 3);
  });

  it("accepted and conforming, accepted and not, rejected: together all", () => {
    const { pass, conformance, globalRisk } = point("simple", 0.3).risk!;
    expect(pass * (1 - conformance!)).toBeCloseTo(globalRisk!.consumer, 9);
    // Conforming items are accepted or wrongly rejected: 95 of 100 by the assumption.
    expect(pass - globalRisk!.consumer + globalRisk!.producer).toBeCloseTo(0.95, 6);
  });

  it("a guard band lowers the consumer's risk and raises the producer's", () => {
    const [simple, guarded] = [point("simple", 0.3).risk!.globalRisk!, point("guard-band", 0.3).risk!.globalRisk!];
    expect(guarded.consumer).toBeLessThan(simple.consumer);
    expect(guarded.producer).toBeGreaterThan(simple.producer);
  });

  it("where nothing can be accepted, nothing is rejected either", () => {
    expect(point("guard-band", 1.2).risk).toMatchObject({
      pass: 0,
      conformance: null,
      specificRisk: null,
      globalRisk: null,
    });
  });
});

describe("what limits and what helps [P4]", () => {
  it("a reference of half the U, told with what it brings", () => {
    const plan = planJob(
      inventedJob({
        points: [150],
        reference: { calibration: { ...certificate, uncertainty: 0.04 } },
        source: { axial: 0.01 },
      }),
      context,
    );
    const [item] = plan.items;
    expect(item!.points[0]!.limiting).toMatchObject({ entry: "reference", id: "ref" });
    expect(item!.change).toMatchObject({ entry: "reference", words: "a reference of U 0.02 K instead of 0.04 K" });
    // u² = 0.02² + 0.01²/3, so U at k = 2 comes from 0.0416 to 0.0231 K.
    expect(item!.change!.now).toBeCloseTo(0.0416, 3);
    expect(item!.change!.improved).toBeCloseTo(0.0231, 3);
  });

  it.each([
    ["source", { source: { axial: 0.3 } }, /along its sensing zone/],
    ["source", { source: { radial: 0.3 } }, /between its wells/],
    ["item", { item: { contributions: { hysteresis: 0.3 } } }, /hysteresis is known/],
    ["item", { item: { contributions: { stemConduction: 0.3 } } }, /heat conduction along the stem is known/],
    ["procedure", { target: 0.4, tolerance: { kelvin: 2 } }, /longer wait/],
  ] as const)("the %s where its line is the largest", (entry, wanted, words) => {
    const [item] = planJob(
      inventedJob({ points: [150], ...wanted } as Parameters<typeof inventedJob>[0]),
      context,
    ).items;
    expect(item!.points[0]!.limiting!.entry).toBe(entry);
    expect(item!.change!.entry).toBe(entry);
    expect(item!.change!.words).toMatch(words);
    expect(item!.change!.improved).toBeLessThan(item!.change!.now);
  });
});

describe("a job that cannot prove anything [P5]", () => {
  it.each(["simple", "guard-band", "g8-non-binary"] as const)(
    "is refused under %s when U is no smaller than the tolerance",
    (kind) => {
      const plan = planJob(inventedJob({ tolerance: { kelvin: 0.015 }, decision: { kind } }), context);
      expect(plan.ready).toBe(false);
      expect(plan.obstacles).toHaveLength(1);
      expect(plan.obstacles[0]!.code).toBe("job.cannot-prove");
      expect(plan.obstacles[0]!.message).toContain("TE-P-1 could not pass at any point");
    },
  );

  it("names what would be enough: the reference, or a wider tolerance", () => {
    const plan = planJob(inventedJob({ tolerance: { kelvin: 0.018 } }), context);
    const { message, data } = plan.obstacles[0]!;
    expect(message).toContain("It could with a reference of U 0.01 K instead of 0.02 K");
    expect(data).toMatchObject({ remedies: [{ entry: "reference", id: "ref" }] });
    const enough = planJob(inventedJob({ tolerance: { kelvin: 1.01 * Number(data!["neededTolerance"]) } }), context);
    expect(enough.ready).toBe(true);
  });

  it("says so where no single change is enough", () => {
    const plan = planJob(inventedJob({ tolerance: { kelvin: 0.004 } }), context);
    expect(plan.obstacles[0]!.message).toContain("No single change to the kit is enough");
  });

  it("one point that proves something is enough, and the others are marked", () => {
    const plan = planJob(
      inventedJob({
        tolerance: {
          kelvinTable: [
            { temperature: 0, kelvin: 0.01 },
            { temperature: 150, kelvin: 0.5 },
          ],
        },
      }),
      context,
    );
    expect(plan.ready).toBe(true);
    expect(plan.items[0]!.points.map(({ proves }) => proves)).toEqual([false, true]);
  });

  it("obstacles of the run come first and are not said twice", () => {
    const plan = planJob(inventedJob({ reference: { range: { minimum: 200, maximum: 300 } } }), {
      ...context,
      obstacles: () => [{ code: "kit.out-of-range", message: "Out of range.", data: {} }],
    });
    expect(plan.obstacles.map(({ code }) => code)).toEqual(["kit.out-of-range"]);
    expect(
      planJob(inventedJob({ reference: { range: { minimum: 200, maximum: 300 } } }), context).obstacles,
    ).toMatchObject([
      { code: "job.cannot-prove", message: expect.stringContaining("could not be evaluated at any point") },
    ]);
  });

  it("no tolerance anywhere proves nothing", () => {
    const plan = planJob(inventedJob({ points: [500], tolerance: { class: "iec-60751/AA" } }), context);
    expect(plan.obstacles[0]!.message).toContain("no tolerance at any of its points");
  });
});

describe("the whole", () => {
  it("times of the points and the way home add up", () => {
    const { items, time } = planJob(inventedJob({ points: [0, 100, 300] }), context);
    const sum = items[0]!.points.reduce((total, point) => total + point.time.total, 0);
    expect(time.points).toBeCloseTo(sum, 9);
    expect(time.whole).toBeCloseTo(sum + time.leaving.transport, 9);
    for (const { time: point } of items[0]!.points) {
      expect(point.total).toBeCloseTo(point.travel + point.settle + point.read, 9);
      expect(point.shortest).toBeLessThan(point.total);
      expect(point.longest).toBeGreaterThan(point.total);
    }
  });

  it("a job in the proposed order is planned in exactly the time that was promised, and needs no other", () => {
    const job = inventedJob({ points: [0, 100, 300, 50] });
    const { order, time } = planJob(job, context);
    const again = planJob(inOrder(job, order.points), context);
    expect(again.time.whole).toBeCloseTo(time.whole - order.saves, 6);
    expect(again.order.differs).toBe(false);
  });

  it("the same job gives the same plan", () => {
    expect(planJob(inventedJob(), context)).toEqual(planJob(inventedJob(), context));
  });
});

import { describe, expect, it } from "vitest";
import { signalOf } from "#thermometry";
import { diagnosed, firstOf, gives, namedIn, olderPlatinum, platinum, typeOf } from "./invented-points.test-support.ts";
import { normal, type SignalModel } from "./hypotheses/signal-model.ts";
import type { Problem } from "./weigh/problem.ts";
import { weigh } from "./weigh/weigh.ts";

const points = [30, 100, 200, 300, 400];
const typeK = typeOf("K");
const withError = (error: (t: number) => number) => (t: number) => gives(typeK, t + error(t));

describe("the marginal likelihood [D1]", () => {
  const problem: Problem = {
    places: [0, 50, 120].map((reference) => ({
      owner: 0,
      reference,
      referenceSignal: null,
      junction: 0,
      ambient: 23,
      offset: 0,
    })),
    signals: [0.4, 51.1, 121.9],
    covariance: [
      [0.04, 0.01, 0.01],
      [0.01, 0.04, 0.01],
      [0.01, 0.01, 0.04],
    ],
    ordinary: [0.5, 0.5, 0.5],
    floors: [0.01, 0.01, 0.01],
    scatter: null,
    still: null,
  };
  const plain: SignalModel = {
    fault: "zero-shift",
    variant: "",
    weight: 1,
    parameters: [],
    predict: ({ reference, offset }) => reference + offset,
  };
  const shifted = (by: number): SignalModel => ({
    ...plain,
    predict: (place, values) => plain.predict(place, values) + by,
  });
  const free: SignalModel = {
    ...plain,
    parameters: [normal("shift", "K", 0.5, 2)],
    predict: ({ reference, offset }, [shift]) => reference + offset + shift!,
  };

  it("is the integral over the parameter: a sum over a fine grid gives the same for a linear signal", () => {
    let sum = 0;
    const step = 0.01;
    for (let z = -8; z <= 8; z += step)
      sum += Math.exp(weigh(problem, shifted(0.5 + 2 * z)).logEvidence - (z * z) / 2) * (step / Math.sqrt(2 * Math.PI));
    expect(weigh(problem, free).logEvidence).toBeCloseTo(Math.log(sum), 6);
  });

  it("Laplace's approximation of a signal that is not linear is within a seventh of a nat of the grid, a factor of 1.15", () => {
    const bent: SignalModel = {
      ...plain,
      parameters: [{ name: "shift", unit: "K", value: (z) => 0.5 * 2 ** z }],
      predict: ({ reference, offset }, [shift]) => reference + offset + shift!,
    };
    let sum = 0;
    const step = 0.01;
    for (let z = -8; z <= 8; z += step)
      sum +=
        Math.exp(weigh(problem, shifted(0.5 * 2 ** z)).logEvidence - (z * z) / 2) * (step / Math.sqrt(2 * Math.PI));
    expect(Math.abs(weigh(problem, bent).logEvidence - Math.log(sum))).toBeLessThan(1 / 7);
  });

  it("finds the parameter, and a broad prior costs evidence that it does not use [D3]", () => {
    expect(weigh(problem, free).values[0]).toBeCloseTo(1.1, 0);
    const broad: SignalModel = { ...free, parameters: [normal("shift", "K", 0.5, 200)] };
    expect(weigh(problem, free).logEvidence - weigh(problem, broad).logEvidence).toBeGreaterThan(3);
  });

  it("what could give no signal at a point is impossible", () => {
    const beyond: SignalModel = { ...plain, predict: () => Number.NaN };
    expect(weigh(problem, beyond).logEvidence).toBe(Number.NEGATIVE_INFINITY);
  });
});

describe("an ordinary error is no fault [D2]", () => {
  it.each<[string, (t: number) => number]>([
    ["none", () => 0],
    ["the whole tolerance, everywhere", () => 2.5],
    ["growing to the whole tolerance", (t) => 0.0075 * t],
    ["a bend within the tolerance", (t) => 2 * Math.cos(t / 120)],
  ])("%s", (_, error) => {
    const diagnosis = firstOf({ points, items: [{ sensor: typeK, signal: withError(error) }] });
    expect(diagnosis.verdict).toBe("nothing");
    expect(diagnosis.suspicions).toEqual([]);
    expect(diagnosis.sentence).toContain("Nothing but an ordinary error of calibration is seen in TT-101");
  });

  it("errors that follow no known fault are called that, and no fault is invented for them [D4]", () => {
    const wild = [14, -18, 22, -9, 16];
    const diagnosis = firstOf({
      points,
      items: [{ sensor: typeK, signal: (t) => gives(typeK, t + wild[points.indexOf(t)]!) }],
    });
    expect(diagnosis).toMatchObject({ verdict: "suspected" });
    expect(namedIn(diagnosis)).toEqual(["none-of-these"]);
  });
});

describe("the uncertainty of the points counts [D5]", () => {
  const bench = (u: number) => ({
    points: [0, 100, 200],
    items: [{ sensor: platinum(), signal: (t: number) => gives(platinum(), t) + 0.8 }],
    u,
  });

  it("the same errors, known less well, are worth less suspicion", () => {
    const healthy = [0.05, 0.5, 2].map((u) => firstOf(bench(u)).healthy);
    expect(healthy[0]!).toBeLessThan(0.02);
    expect(healthy[0]!).toBeLessThan(healthy[1]!);
    expect(healthy[1]!).toBeLessThan(healthy[2]!);
    expect(healthy[2]!).toBeGreaterThan(0.7);
  });
});

describe("what cannot be told apart is said together [D6]", () => {
  it("with the further temperature that would tell, and what each expects there", () => {
    // At one point of 150 °C a lead and a shallow probe are one number.
    const diagnosis = firstOf({
      points: [150],
      items: [{ sensor: platinum(), signal: (t) => gives(platinum(), t - 9) }],
    });
    expect(diagnosis.together).toBeGreaterThan(1);
    expect(diagnosis.next).not.toBeNull();
    const { temperature, separation, expected } = diagnosis.next!;
    expect(separation).toBeGreaterThanOrEqual(2);
    expect(temperature).not.toBe(150);
    expect(expected.map(({ fault }) => fault)).toHaveLength(2);
    expect(Math.abs(expected[0]!.error - expected[1]!.error)).toBeGreaterThan(1);
    expect(diagnosis.sentence).toContain(`A point at ${temperature} °C would tell best`);
    // The point that was asked for does tell: heat along the stem is nothing at ambient.
    const after = firstOf({
      points: [150, temperature],
      items: [{ sensor: platinum(), signal: (t) => gives(platinum(), t - (9 / 127) * (t - 23)) }],
    });
    const share = (fault: string, of = after) => of.suspicions.find((each) => each.fault === fault)?.probability ?? 0;
    expect(share("immersion")).toBeGreaterThan(share("immersion", diagnosis));
  });
});

describe("what several items share [D12]", () => {
  const two = [
    { sensor: platinum(), signal: (t: number) => gives(platinum(), t) },
    { tag: "TT-102", sensor: typeK, signal: (t: number) => gives(typeK, t) },
  ];

  it("two sound items that err alike point to the reference; one of them alone does not tell", () => {
    // The source really has t; the reference's coefficients read it too high, and every item seems too low.
    const temperatures = [50, 100, 200, 300];
    const seen = temperatures.map((t) => {
      const signal = gives(olderPlatinum, t);
      return { t, shown: shownBy(signal), signal };
    });
    const bench = {
      points: seen.map(({ shown }) => shown),
      referenceSensor: platinum(),
      referenceSignal: (shown: number) => seen.find((each) => each.shown === shown)!.signal,
      items: two.map((item) => ({
        ...item,
        signal: (shown: number) => item.signal(seen.find((e) => e.shown === shown)!.t),
      })),
    };
    for (const { suspicions } of diagnosed(bench))
      expect(suspicions[0]).toMatchObject({ fault: "reference-alpha", variant: "α = 0.003916" });
  });

  it("two items on each other's channel are exchanged, not two wrong types", () => {
    const both = diagnosed({
      points,
      items: [
        { tag: "TT-101", sensor: typeK, signal: (t) => gives(typeOf("J"), t) },
        { tag: "TT-102", sensor: typeOf("J"), signal: (t) => gives(typeK, t) },
      ],
    });
    for (const { suspicions } of both)
      expect(suspicions[0]).toMatchObject({ fault: "swapped", variant: "TT-101 and TT-102" });
    const [one, other] = diagnosed({
      points,
      items: [
        { tag: "TT-101", sensor: typeK, signal: (t) => gives(typeOf("J"), t) },
        { tag: "TT-102", sensor: typeOf("J"), signal: (t) => gives(typeOf("J"), t) },
      ],
    });
    expect(one!.suspicions[0]).toMatchObject({ fault: "wrong-type" });
    expect(other!.verdict).toBe("nothing");
  });

  it("a junction that several thermocouples share is off for all of them", () => {
    const both = diagnosed({
      points,
      items: [typeK, typeOf("J")].map((sensor, index) => ({
        tag: `TT-10${index}`,
        sensor,
        signal: (t: number) => gives(sensor, t, 37),
      })),
    });
    for (const { suspicions } of both) expect(suspicions[0]).toMatchObject({ fault: "junction-offset" });
  });
});

const shownBy = (signal: number): number => {
  let [low, high] = [-50, 420];
  for (let round = 0; round < 60; round += 1) {
    const middle = (low + high) / 2;
    const outcome = signalOf(platinum(), middle);
    if (outcome.ok && outcome.value.signal < signal) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
};

describe("signals that stand or scatter [D13]", () => {
  const constant = (still: boolean) =>
    firstOf({ points, items: [{ sensor: platinum(), signal: () => 108.7312, still }] });

  it("a value that stands to the last digit while the source moves is stuck; one that lives is not", () => {
    expect(constant(true).suspicions[0]).toMatchObject({ fault: "stuck" });
    expect(constant(false).suspicions.every(({ fault }) => fault !== "stuck")).toBe(true);
  });

  it("at one temperature a value that stands is nothing", () => {
    const diagnosis = firstOf({
      points: [100, 100.04],
      items: [{ sensor: platinum(), signal: () => gives(platinum(), 100.02), still: true }],
    });
    expect(diagnosis.verdict).toBe("nothing");
  });

  it("scatter of several tolerances is noise; a third of the tolerance is a noisy kit and no fault", () => {
    const scattering = (scatter: number) =>
      firstOf({ points, items: [{ sensor: typeK, signal: withError(() => 0.3), scatter }] });
    expect(scattering(15).suspicions[0]).toMatchObject({ fault: "noise" });
    expect(scattering(0.8).verdict).toBe("nothing");
  });
});

import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { RunEvent } from "#calibration";
import { unwrap } from "#fault";
import { loadJob } from "#intake";
import { signalOf } from "#thermometry";
import { inventedJob, target } from "../invented-job.test-support.ts";
import { cooldownTime, leavingTime } from "./cooling.ts";
import { learnPace, seenIn } from "./learn-pace.ts";
import { paceOf, paceWords, travelTime } from "./pace.ts";
import { planJob } from "../plan-job.ts";
import { pointTime, probeLag } from "./point-time.ts";
import { sweepTime } from "./sweep-time.ts";

const model = (...wanted: Parameters<typeof inventedJob>) => {
  const job = inventedJob(...wanted);
  return { job, pace: paceOf(job.kit.source), target: (): number => 0.1 };
};

describe("cooling by itself [P12]", () => {
  it("600 °C to 50 °C at 25 °C takes 3.1 time constants", () => {
    // Newton's law of cooling: ln(575/25) = 3.135.
    expect(cooldownTime(1, 600, 50, 25)).toBeCloseTo(3.1355, 4);
    expect(cooldownTime(1800, 600, 50, 25)).toBeCloseTo(1800 * Math.log(23), 9);
  });

  it("takes no time for what is cold enough, and never for ever", () => {
    expect(cooldownTime(1800, 40, 50, 25)).toBe(0);
    expect(cooldownTime(1800, 100, 20, 25)).toBeCloseTo(1800 * Math.log(75), 9);
  });

  it("a source may be carried no earlier than it may be touched; a cold one is warmed first", () => {
    const pace = paceOf(inventedJob().kit.source);
    const hot = leavingTime(pace, 300, 25);
    expect(hot.transport).toBeGreaterThan(hot.touchSafe);
    expect(leavingTime(pace, -30, 25)).toEqual({ touchSafe: 0, transport: travelTime(pace, -30, 25) });
    expect(leavingTime(pace, 25, 25)).toEqual({ touchSafe: 0, transport: 0 });
  });
});

describe("a travel [P11]", () => {
  it("at an even rate is the way over the rate", () => {
    expect(travelTime({ heating: 10, cooling: 5 }, 20, 120)).toBeCloseTo(600, 9);
    expect(travelTime({ heating: 10, cooling: 5 }, 120, 20)).toBeCloseTo(1200, 9);
    expect(travelTime({ heating: 10, cooling: 5 }, 20, 20)).toBe(0);
  });

  it("at a rate that is a straight line over temperature is a logarithm", () => {
    const cooling = [
      { temperature: 0, value: 1 },
      { temperature: 100, value: 11 },
    ];
    // dT/dt = −(1 + T/10): t = 10·ln(11) minutes from 100 °C to 0 °C.
    expect(travelTime({ heating: 10, cooling }, 100, 0)).toBeCloseTo(600 * Math.log(11), -1);
  });
});

describe("a point [P11]", () => {
  it("the wait is τ·ln(behind/allowed), then window, confirmation and readings", () => {
    const { job, pace } = model();
    const timeConstant = Math.hypot(pace.rest, 35);
    const behind = Math.min(50, (25 / 60) * timeConstant);
    const { settle, read } = pointTime({ job, pace, target: () => 0.1 }, 100, 150);
    expect(settle).toBeCloseTo(timeConstant * Math.log(behind / 0.025) + 120 + 20, 6);
    expect(read).toBe(job.procedure.readings.count * job.procedure.readings.interval);
  });

  it("takes longer for a tighter target, a thicker probe, a longer way", () => {
    const settle = (more: object, kelvin = 0.1, from = 0) => {
      const { job, pace } = model(more);
      return pointTime({ job, pace, target: () => kelvin }, from, 150).total;
    };
    expect(settle({}, 0.01)).toBeGreaterThan(settle({}, 0.1));
    expect(settle({ item: { diameter: 12 } })).toBeGreaterThan(settle({ item: { diameter: 6 } }));
    expect(settle({}, 0.1, 0)).toBeGreaterThan(settle({}, 0.1, 140));
    expect(probeLag("platinum", "bath", undefined)).toBeLessThan(probeLag("platinum", "dry-block", 6));
  });
});

describe("ramps of a switch [P17]", () => {
  const text = readFileSync(new URL("../../../examples/temperature-switch.yaml", import.meta.url), "utf8");
  const job = unwrap(loadJob(text, "temperature-switch.yaml"));
  const { points, ramp } = job.procedure;
  const pace = paceOf(job.kit.source);
  const switched = { job, pace, target: () => 0.1 };

  it("the way, the rest, and the ramp to the expected change; at the longest to its end", () => {
    const [rising] = points;
    const { trip } = job.items[0]!.sensor as { readonly trip: number };
    const time = sweepTime(switched, 25, rising!);
    expect(time.travel).toBeCloseTo(travelTime(pace, 25, rising!.sweep!.from), 9);
    expect(time.read).toBeCloseTo((60 * (trip - rising!.sweep!.from)) / rising!.sweep!.rate + ramp!.hold, 9);
    expect(time.total).toBeCloseTo(time.travel + time.settle + time.read, 9);
    const whole = (60 * (rising!.temperature - rising!.sweep!.from)) / rising!.sweep!.rate;
    expect(time.longest).toBeGreaterThan(time.travel + whole);
    expect(time.shortest).toBeLessThan(time.total);
  });

  it("keep their order, and a point at rest is planned as one", () => {
    const { order, items } = planJob(job, { day: "2026-11-25", target, obstacles: () => [] });
    expect(order.differs).toBe(false);
    expect(items[0]!.points.length).toBeGreaterThan(0);
    expect(sweepTime(model(), 25, { temperature: 100 })).toEqual(pointTime(model(), 25, 100));
  });
});

/** A run as a source of even rates would give it: ramps, and settled a fixed time after each. */
const ranWith = (heating: number, cooling: number, rest: number, rehearsal = false): RunEvent[] => {
  const job = { ...inventedJob({ points: [100, 300, 50] }), rehearsal };
  const log: RunEvent[] = [
    {
      kind: "run-opened",
      format: 1,
      n: 0,
      at: 0,
      run: "r",
      opened: "2026-11-25T08:00:00Z",
      software: { name: "t", version: "1" },
      seed: null,
      job,
      catalog: [],
    } as unknown as RunEvent,
  ];
  const add = (event: object): void => void log.push({ n: log.length, ...event } as unknown as RunEvent);
  const ohm = (temperature: number): number => {
    const signal = signalOf(job.kit.reference.sensor, temperature);
    return signal.ok ? signal.value.signal : Number.NaN;
  };
  let [time, temperature] = [0, 25];
  job.procedure.points.forEach((to, point) => {
    const place = { pass: "as-found", point };
    add({ kind: "set-point-commanded", ...place, at: time, temperature: to.temperature });
    const rate = (to.temperature > temperature ? heating : -cooling) / 60;
    const arrival = (to.temperature - temperature) / rate;
    const times = Array.from({ length: Math.ceil(arrival + rest) }, (_, second) => time + second);
    const values = times.map((at) => ohm(at - time < arrival ? temperature + rate * (at - time) : to.temperature));
    add({ kind: "readings-taken", at: times.at(-1), channel: "reference", unit: "Ω", times, values });
    add({ kind: "point-settled", ...place, at: time + arrival + rest, item: job.items[0]!.id });
    add({ kind: "point-measured", ...place, at: time + arrival + rest + 40, from: 0, to: 0 });
    time += arrival + rest + 60;
    temperature = to.temperature;
  });
  return log;
};

describe("where a pace comes from [P10]", () => {
  it("earlier runs, else the kit entry, else the class; the less is known the wider the interval", () => {
    const plain = inventedJob();
    const stated = inventedJob({ source: { rates: { heating: 30, cooling: 9, rest: 1, cooldown: 20 } } });
    const learnt = { heating: 40, cooling: 12, restFactor: 1.5, approaches: 3 };
    expect(paceOf(plain.kit.source).origin).toEqual({ rates: "assumed", rest: "assumed", approaches: 0 });
    expect(paceOf(stated.kit.source)).toMatchObject({
      heating: 30,
      cooling: 9,
      rest: 60,
      cooldown: 1200,
      origin: { rates: "kit", rest: "kit" },
    });
    expect(paceOf(stated.kit.source, learnt)).toMatchObject({
      heating: 40,
      cooling: 12,
      restFactor: 1.5,
      origin: { rates: "earlier-runs" },
    });
    const widths = [paceOf(plain.kit.source, learnt), paceOf(stated.kit.source), paceOf(plain.kit.source)].map(
      ({ doubt }) => doubt.longer,
    );
    expect(widths).toEqual([...widths].sort((a, b) => a - b));
    expect(paceWords(paceOf(plain.kit.source), plain)).toContain("assumed for the class");
    expect(paceWords(paceOf(stated.kit.source), stated)).toBe("Times rest on figures of kit entry src.");
    expect(paceWords(paceOf(plain.kit.source, learnt), plain)).toBe(
      "Times rest on figures of 3 earlier approaches of src.",
    );
  });

  it("a run gives its source's rates back, and how long it took to settle", () => {
    const job = inventedJob();
    const learnt = learnPace(job, [seenIn(ranWith(30, 6, 300))!], target)!;
    expect(learnt.approaches).toBe(3);
    const pace = paceOf(job.kit.source, learnt);
    expect(travelTime(pace, 100, 200)).toBeCloseTo((100 / 30) * 60, -1);
    expect(travelTime(pace, 200, 100)).toBeCloseTo((100 / 6) * 60, -1);
    const slower = learnPace(job, [seenIn(ranWith(30, 6, 900))!], target)!;
    expect(slower.restFactor! / learnt.restFactor!).toBeGreaterThan(2);
  });

  it("learns nothing from another source, from a rehearsal, or from what is no run", () => {
    const job = inventedJob();
    const seen = seenIn(ranWith(30, 6, 300))!;
    expect(
      learnPace({ ...job, kit: { ...job.kit, source: { ...job.kit.source, id: "other" } } }, [seen], target),
    ).toBeNull();
    expect(learnPace(job, [seenIn(ranWith(30, 6, 300, true))!], target)).toBeNull();
    expect(seenIn([])).toBeNull();
  });
});

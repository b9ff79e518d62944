import { describe, expect, it } from "vitest";
import { inventedJob } from "../evaluate/invented-run.test-support.ts";
import { rampJob, type RampJobChange } from "../switch/ramp-log.test-support.ts";
import { jobConverter } from "./converter.ts";
import { jobSchema } from "./job.ts";
import { expectedChanges, isSwitch, sweepPoints, type SwitchItem } from "./switch-sweeps.ts";
import { switchComplaints, withSweeps } from "./switch-job.ts";

const switchOf = (sensor: RampJobChange["sensor"] = {}, change: Partial<SwitchItem> = {}): SwitchItem => {
  const [item] = rampJob({ sensor }).items;
  if (!isSwitch(item!)) throw new Error("no switch");
  return { ...item, ...change };
};
const ramp = { ...rampJob().procedure.ramp!, before: undefined, beyond: undefined, cycles: 1 };

describe("what a switch is to do on the way up and down", () => {
  it("a high alarm at 90 °C ± 1 K with a dead band of 2 K to 5 K", () => {
    const { rising, falling } = expectedChanges(switchOf());
    expect(rising).toEqual({
      role: "trip",
      direction: "rising",
      closed: false,
      expected: 90,
      nominal: 90,
      limits: { lower: -1, upper: 1 },
      note: null,
      within: 1,
    });
    // In the middle of its dead band; the trip may miss by 1 K and the band by 1.5 K.
    expect(falling).toMatchObject({
      role: "reset",
      direction: "falling",
      closed: true,
      expected: 86.5,
      nominal: null,
      limits: null,
      within: 2.5,
    });
    expect(falling.note).toMatch(/its dead band is judged/);
  });

  it("a low alarm comes back above; a contact that closes on rising is the other way round", () => {
    const { rising, falling } = expectedChanges(switchOf({ tripsOn: "falling", onRise: "closes" }));
    expect(falling).toMatchObject({ role: "trip", expected: 90, closed: false });
    expect(rising).toMatchObject({ role: "reset", expected: 93.5, closed: true });
  });

  it("a reset that is agreed as a temperature has limits of its own", () => {
    const { falling } = expectedChanges(switchOf({ reset: { temperature: 87, kelvin: 0.4 } }));
    expect(falling).toEqual({
      role: "reset",
      direction: "falling",
      closed: true,
      expected: 87,
      nominal: 87,
      limits: { lower: -0.4, upper: 0.4 },
      note: null,
      within: 0.4,
    });
  });

  it("without limits at its trip it may miss by 1 K, and a note says why there are none", () => {
    // Type K, class 1 ends at 1000 °C; of a switch no type is known.
    const { rising } = expectedChanges(switchOf({}, { tolerance: { class: "iec-60584-1/1" } }));
    expect(rising).toMatchObject({ limits: null, within: 1 });
    expect(rising.note).toMatch(/say which type/);
  });
});

describe("the ramps that take it there", () => {
  it("begin and end 1.5 times what it may miss and 1 K more from where it should act", () => {
    expect(sweepPoints([switchOf()], ramp)).toEqual([
      { temperature: 92.5, sweep: { from: 87.5, rate: 0.5, cycle: 1 } },
      // 86.5 °C, and 1.5 · 2.5 K + 1 K either way.
      { temperature: 81.75, sweep: { from: 91.25, rate: 0.5, cycle: 1 } },
    ]);
  });

  it("take several switches past their changes, from before the first to beyond the last", () => {
    const two = [switchOf(), switchOf({ trip: 95.0004 })];
    const points = sweepPoints(two, { ...ramp, before: 1, beyond: 2 });
    expect(points).toEqual([
      // Beginnings and ends are whole millikelvins.
      { temperature: 97, sweep: { from: 89, rate: 0.5, cycle: 1 } },
      { temperature: 84.5, sweep: { from: 92.5, rate: 0.5, cycle: 1 } },
    ]);
    expect(sweepPoints([switchOf({ trip: 90.0006 })], { ...ramp, before: 1, beyond: 2 })[0]).toMatchObject({
      temperature: 92.001,
      sweep: { from: 89.001 },
    });
  });

  it("go at the slower rate in every second cycle, where there is one", () => {
    const rates = (slowRate: number | undefined) =>
      sweepPoints([switchOf()], { ...ramp, cycles: 4, slowRate }).map(({ sweep }) => [sweep!.cycle, sweep!.rate]);
    expect(rates(0.25)).toEqual([
      [1, 0.5],
      [1, 0.5],
      [2, 0.25],
      [2, 0.25],
      [3, 0.5],
      [3, 0.5],
      [4, 0.25],
      [4, 0.25],
    ]);
    expect(rates(undefined).map(([, rate]) => rate)).toEqual(Array.from({ length: 8 }, () => 0.5));
  });

  it("are none where there is no switch, or no ramp", () => {
    const job = inventedJob();
    expect(sweepPoints(job.items, ramp)).toEqual([]);
    expect(withSweeps(job)).toBe(job);
    const made = rampJob();
    expect(withSweeps(made)).toBe(made);
  });
});

describe("what must hold between switches and their procedure", () => {
  const paths = (job: Parameters<typeof switchComplaints>[0]) => switchComplaints(job).map(({ path }) => path);
  const { procedure, items } = rampJob();
  const plain = inventedJob();

  it("nothing is amiss with a job of switches, nor with one of thermometers", () => {
    expect(paths({ items, procedure })).toEqual([]);
    expect(paths(plain)).toEqual([]);
  });

  it("names the place of each complaint", () => {
    expect(paths({ items: [...items, ...plain.items], procedure })).toEqual([["items", 1, "sensor", "kind"]]);
    expect(paths({ items, procedure: { ...procedure, repeatFirst: false, items: "each" } })).toEqual([
      ["procedure", "repeatFirst"],
      ["procedure", "items"],
    ]);
    expect(paths({ items, procedure: { ...procedure, fit: { model: "polynomial", degree: 1 } } })).toEqual([
      ["procedure", "fit"],
    ]);
    expect(paths({ items, procedure: { ...procedure, points: [...procedure.points, { temperature: 20 }] } })).toEqual([
      ["procedure", "points"],
    ]);
    expect(paths({ items: [...plain.items, ...items], procedure: plain.procedure })).toEqual([["procedure", "ramp"]]);
    expect(paths({ items: plain.items, procedure: { ...plain.procedure, points: [] } })).toEqual([
      ["procedure", "points"],
    ]);
    const stray = [{ temperature: 0 }, { temperature: 50, sweep: { from: 40, rate: 1, cycle: 1 } }];
    expect(paths({ items: plain.items, procedure: { ...plain.procedure, points: stray } })).toEqual([
      ["procedure", "points", 1, "sweep"],
    ]);
  });

  it("a switch's channel gives no temperature", () => {
    const converter = jobConverter(rampJob());
    expect(converter.item("tsh", 1)).toMatchObject({
      ok: false,
      fault: { code: "thermometry.unsupported", data: { item: "tsh" } },
    });
    expect(converter.reference(100.012)).toMatchObject({ ok: true, value: expect.closeTo(0, 6) });
  });

  it("a job's points are worked out when it is read", () => {
    const base = rampJob();
    const { points: _, ...bare } = base.procedure;
    expect(jobSchema.parse({ ...base, procedure: bare }).procedure.points).toEqual(base.procedure.points);
  });
});

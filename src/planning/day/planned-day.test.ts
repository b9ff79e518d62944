import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { inventedJob, target, type Wanted } from "../invented-job.test-support.ts";
import { gatherBatches, type DayJob } from "./batches.ts";
import { clockText, planDay, type Day, type Timetable } from "./timetable.ts";

const seed = 20_261_126;
const wells = [{ diameter: 6.2, count: 4 }];
const probe = { diameter: 6, immersion: 140 };
const dayJob = (wanted: Wanted): DayJob => ({
  job: inventedJob({ reference: { diameter: 6 }, item: probe, source: { wells, depth: 150 }, ...wanted }),
  target,
});
const inOwnSource = (job: string, id: string, points: readonly number[]): DayJob =>
  dayJob({ job, points, source: { id, wells, depth: 150 } });
const day: Day = { start: 480, end: null, pause: null };
const kinds = ({ entries }: Timetable, kind: string) => entries.filter((entry) => entry.kind === kind);

describe("jobs together [P14]", () => {
  it("with the same kit and wells enough share their set points", () => {
    const [batch, ...more] = gatherBatches([
      dayJob({ job: "A", points: [0, 100] }),
      dayJob({ job: "B", points: [100, 200] }),
    ]);
    expect(more).toEqual([]);
    expect(batch!.jobs).toEqual(["A", "B"]);
    expect([...batch!.temperatures].sort((a, b) => a - b)).toEqual([0, 100, 200]);
  });

  it.each([
    ["wells are not known", dayJob({ job: "A", source: {} }), dayJob({ job: "B", source: {} })],
    ["another source is used", inOwnSource("A", "one", [0, 150]), inOwnSource("B", "two", [0, 150])],
    [
      "an item would leave its limits",
      dayJob({ job: "A", points: [0, 50], item: { ...probe, limits: { minimum: -10, maximum: 60 } } }),
      dayJob({ job: "B", points: [0, 50, 200] }),
    ],
    ["an order is bound", dayJob({ job: "A", order: { kind: "as-written" } }), dayJob({ job: "B" })],
    [
      "orders run against each other",
      dayJob({ job: "A", order: { kind: "rising" } }),
      dayJob({ job: "B", order: { kind: "falling" } }),
    ],
    [
      "the wells do not suffice",
      dayJob({ job: "A", source: { wells: [{ diameter: 6.2, count: 2 }] } }),
      dayJob({ job: "B", source: { wells: [{ diameter: 6.2, count: 2 }] } }),
    ],
  ])("not where %s", (_, one, other) => {
    expect(gatherBatches([one, other])).toHaveLength(2);
  });

  it(`the order in which jobs are named changes nothing (seed ${seed})`, () => {
    const points = fc.uniqueArray(fc.constantFrom(-20, 0, 50, 100, 150, 200), { minLength: 1, maxLength: 4 });
    const jobs = fc.array(fc.record({ points, source: fc.constantFrom("one", "two") }), { minLength: 2, maxLength: 4 });
    fc.assert(
      fc.property(jobs, fc.nat(23), (list, turn) => {
        const named = list.map(({ points: at, source }, index) => inOwnSource(`J-${index}`, source, at));
        const mixed = named.map((_, index) => named[(index + turn) % named.length]!).toReversed();
        expect(planDay(mixed, day)).toEqual(planDay(named, day));
      }),
      { seed, numRuns: 12 },
    );
  });
});

describe("one person's day [P15]", () => {
  it("nothing by hand is done at two places at once, and the entries reach to the end", () => {
    const timetable = planDay(
      [inOwnSource("A", "one", [0, 200]), inOwnSource("B", "two", [300]), inOwnSource("C", "one", [50])],
      day,
    );
    const own = timetable.entries.filter(({ kind }) => kind !== "cool" && kind !== "transport");
    own.slice(1).forEach((entry, index) => expect(entry.from).toBeGreaterThanOrEqual(own[index]!.to - 1e-9));
    expect(timetable.finish).toBe(Math.max(...timetable.entries.map(({ to }) => to)));
    expect(timetable.entries[0]!.from).toBe(480);
  });

  it("a reference is taken from a hot source only when it may be touched", () => {
    const rising = { kind: "rising" } as const;
    const jobs = ["A", "B"].map((job) =>
      dayJob({ job, points: [0, 300], order: rising, source: { id: job, wells, depth: 150 } }),
    );
    const timetable = planDay(jobs, day);
    const second = kinds(timetable, "set-up")[1]!;
    expect(second.from).toBeGreaterThanOrEqual(kinds(timetable, "cool")[0]!.to - 1e-9);
  });

  it("the ice check and the break lie in what is waited for anyway", () => {
    const jobs = [dayJob({ job: "A", points: [0, 300], order: { kind: "rising" } })];
    const timetable = planDay(jobs, day);
    const [ice] = kinds(timetable, "ice-check");
    const [carry] = kinds(timetable, "transport");
    const [cool] = kinds(timetable, "cool");
    expect(ice!.from).toBeCloseTo(cool!.to, 9);
    expect(carry!.from).toBeCloseTo(cool!.to, 9);
    const paused = planDay(jobs, { ...day, pause: { from: cool!.from + 5, minutes: 30 } });
    expect(paused.finish).toBeCloseTo(timetable.finish, 9);
    expect(kinds(paused, "pause")[0]!.from).toBeCloseTo(cool!.from + 5, 9);
  });

  it("of all orders of the batches the one that ends soonest", () => {
    const jobs = [inOwnSource("A", "one", [0, 300]), inOwnSource("B", "two", [50]), inOwnSource("C", "three", [400])];
    const best = planDay(jobs, day).finish;
    const apart = jobs.map((job) => planDay([job], day).finish - day.start);
    expect(best - day.start).toBeLessThan(apart.reduce((sum, minutes) => sum + minutes, 0));
    expect(best - day.start).toBeGreaterThan(Math.max(...apart));
  });

  it("a break in the middle of the work moves the rest", () => {
    const jobs = [inOwnSource("A", "one", [0, 20, 40])];
    const later = planDay(jobs, { ...day, pause: { from: 490, minutes: 45 } });
    expect(later.finish).toBeCloseTo(planDay(jobs, day).finish + 45, 9);
  });

  it("the same source is set up again only when it may be touched", () => {
    const jobs = ["A", "B"].map((job) => dayJob({ job, points: [200], order: { kind: "as-written" } }));
    const [, second] = kinds(planDay(jobs, day), "set-up");
    const [cool] = kinds(planDay(jobs, day), "cool");
    expect(second!.from).toBeGreaterThanOrEqual(cool!.to - 1e-9);
  });
});

describe("a day that is too short [P16]", () => {
  it("leaves out what does not fit, and says when it would have ended alone", () => {
    const jobs = [inOwnSource("A", "one", [0]), inOwnSource("B", "two", [0, 100, 200, 300, 400])];
    const timetable = planDay(jobs, { ...day, end: 560 });
    expect(timetable.leftOut.map(({ jobs: left }) => left)).toEqual([["B"]]);
    expect(timetable.leftOut[0]!.words).toContain("does not fit in this day even alone");
    expect(timetable.finish).toBeLessThanOrEqual(560);
    expect(kinds(timetable, "point").every(({ source }) => source === "one")).toBe(true);
  });

  it("says of a job that would fit by itself that it does not with the others", () => {
    const jobs = [inOwnSource("A", "one", [0, 50]), inOwnSource("B", "two", [0, 50])];
    const alone = planDay([jobs[0]!], day).finish;
    const { leftOut } = planDay(jobs, { ...day, end: Math.ceil(alone) });
    expect(leftOut).toHaveLength(1);
    expect(leftOut[0]!.words).toContain("with the others");
  });

  it("may leave nothing at all, and plans nothing from nothing", () => {
    expect(planDay([inOwnSource("A", "one", [0, 300])], { ...day, end: 490 })).toMatchObject({
      entries: [],
      leftOut: [{ jobs: ["A"] }],
    });
    expect(planDay([], day).entries).toEqual([]);
  });
});

it("clock times are said as they are read, past midnight too", () => {
  expect([clockText(485), clockText(0), clockText(719.6), clockText(1445)]).toEqual([
    "08:05",
    "00:00",
    "12:00",
    "00:05 +1 d",
  ]);
});

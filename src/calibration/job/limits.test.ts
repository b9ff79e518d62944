import { describe, expect, it } from "vitest";
import { inventedJob, resistor, transmitter } from "../evaluate/invented-run.test-support.ts";
import type { Job } from "./job.ts";
import { limitComplaints, limitsOf, limitsSchema, rangesOf, type OwnLimits } from "./limits.ts";

/** Source −30 °C to 420 °C, reference −40 °C to 420 °C, items −50 °C to 300 °C and −20 °C to 200 °C. */
const base = inventedJob({ items: [resistor, { ...transmitter, channel: "item-2" }] });
const jobWith = (limits?: OwnLimits, change: (job: Job) => Partial<Job> = () => ({})) => ({
  ...base,
  ...change(base),
  ...(limits === undefined ? {} : { limits }),
});

describe("the job's own limits", () => {
  it.each([
    [{}],
    [{ minimum: -20 }],
    [{ maximum: 200, overshoot: 0 }],
    [{ minimum: 0, maximum: 1, overshoot: 50, ramp: 0.1, unattended: 60 }],
  ])("may be %j", (limits) => expect(limitsSchema.parse(limits)).toEqual(limits));

  it.each([
    ["maximum", { minimum: 10, maximum: 10 }],
    ["maximum", { minimum: 10, maximum: 9 }],
    ["overshoot", { overshoot: -1 }],
    ["overshoot", { overshoot: 51 }],
    ["ramp", { ramp: 0 }],
    ["unattended", { unattended: 59 }],
    ["", { forever: true }],
  ])("are refused at %s: %j", (path, limits) =>
    expect(limitsSchema.safeParse(limits).error?.issues[0]?.path.join(".")).toBe(path),
  );
});

describe("every range that binds a job", () => {
  const names = (limits?: OwnLimits) =>
    rangesOf(jobWith(limits)).map(({ what, owner, minimum, maximum }) => [what, owner, minimum, maximum]);
  const others = [
    ["heat source demo-block", "source", -30, 420],
    ["reference demo-ref", "reference", -40, 420],
    ["item TT-202", "item", -50, 300],
    ["item TT-303", "item", -20, 200],
  ];

  it("is that of source, reference and items, and the job's own before them", () => {
    expect(names()).toEqual(others);
    expect(names({ overshoot: 2 })).toEqual(others);
    expect(names({ minimum: -10, maximum: 90 })).toEqual([["this job", "job", -10, 90], ...others]);
    expect(names({ minimum: -10 })[0]).toEqual(["this job", "job", -10, Number.POSITIVE_INFINITY]);
    expect(names({ maximum: 90 })[0]).toEqual(["this job", "job", Number.NEGATIVE_INFINITY, 90]);
  });
});

describe("the limits of a run", () => {
  it("are the tightest of all, each with its owner; what may be read does not ask the source", () => {
    expect(limitsOf(jobWith())).toEqual({
      lowest: { value: -20, whose: "item TT-303" },
      highest: { value: 200, whose: "item TT-303" },
      coldest: { value: -20, whose: "item TT-303" },
      hottest: { value: 200, whose: "item TT-303" },
      overshoot: 5,
      ramp: null,
      unattended: null,
    });
    const narrow = jobWith(undefined, (job) => ({
      kit: { ...job.kit, source: { ...job.kit.source, range: { minimum: 15, maximum: 150 } } },
    }));
    expect(limitsOf(narrow)).toMatchObject({
      lowest: { value: 15, whose: "heat source demo-block" },
      highest: { value: 150, whose: "heat source demo-block" },
      coldest: { value: -20 },
      hottest: { value: 200 },
    });
    expect(limitsOf(jobWith({ minimum: 0, maximum: 90, overshoot: 0, unattended: 600 }))).toMatchObject({
      lowest: { value: 0, whose: "this job" },
      hottest: { value: 90, whose: "this job" },
      overshoot: 0,
      unattended: { value: 600, whose: "this job" },
    });
  });

  it("of two that are alike name the first", () => {
    const alike = jobWith({ minimum: -20, maximum: 200 });
    expect(limitsOf(alike)).toMatchObject({ lowest: { whose: "this job" }, highest: { whose: "this job" } });
  });

  it("have the slowest of the ramps that anybody asks for", () => {
    const ramps = (own?: number, reference?: number, item?: number) =>
      limitsOf(
        jobWith(own === undefined ? {} : { ramp: own }, (job) => ({
          kit: {
            ...job.kit,
            reference: { ...job.kit.reference, ...(reference === undefined ? {} : { fastestRamp: reference }) },
          },
          items: job.items.map((each, index) =>
            index === 1 && item !== undefined ? { ...each, limits: { ...each.limits, ramp: item } } : each,
          ),
        })),
      ).ramp;
    expect(ramps(3, 2, 4)).toEqual({ value: 2, whose: "reference demo-ref" });
    expect(ramps(3, 5, 1)).toEqual({ value: 1, whose: "item TT-303" });
    expect(ramps(1, 2, 4)).toEqual({ value: 1, whose: "this job" });
    expect(ramps(undefined, undefined, 4)).toEqual({ value: 4, whose: "item TT-303" });
    expect(ramps(2, 2)).toEqual({ value: 2, whose: "this job" });
  });
});

describe("a procedure that crosses the job's own limits", () => {
  const complaints = (limits: OwnLimits | undefined, temperatures: readonly number[], rate?: number) =>
    limitComplaints({
      limits,
      procedure: {
        points: temperatures.map((temperature) => ({ temperature })),
        ramp: rate === undefined ? undefined : ({ rate } as Job["procedure"]["ramp"]),
      },
    });

  it("names each point beyond them, their ends included", () => {
    expect(complaints({ minimum: 0, maximum: 100 }, [0, 50, 100])).toEqual([]);
    expect(complaints({ minimum: 0, maximum: 100 }, [-0.1, 50, 100.1]).map(({ path }) => path)).toEqual([
      ["procedure", "points", 0, "temperature"],
      ["procedure", "points", 2, "temperature"],
    ]);
    expect(complaints({ minimum: 0 }, [-1, 1e4]).map(({ path }) => path[2])).toEqual([0]);
    expect(complaints({ maximum: 0 }, [-300, 1]).map(({ path }) => path[2])).toEqual([1]);
    expect(complaints({}, [-300, 3000])).toEqual([]);
    expect(complaints(undefined, [-300, 3000], 9)).toEqual([]);
  });

  it("names a ramp that is faster, not one that is as fast", () => {
    expect(complaints({ ramp: 0.5 }, [], 0.5)).toEqual([]);
    expect(complaints({ ramp: 0.5 }, [], 0.6).map(({ path }) => path)).toEqual([["procedure", "ramp", "rate"]]);
    expect(complaints({}, [], 5)).toEqual([]);
    expect(complaints({ ramp: 0.5 }, [])).toEqual([]);
  });
});

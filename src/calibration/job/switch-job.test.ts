import { describe, expect, it } from "vitest";
import { inventedJob } from "../evaluate/invented-run.test-support.ts";
import { rampJob } from "../switch/ramp-log.test-support.ts";
import { jobSchema } from "./job.ts";
import { expectedChanges, isSwitch } from "./switch-sweeps.ts";

describe("the job of a switch", () => {
  it("gets its ramps from the procedure: up and down, margins before and beyond", () => {
    const { points } = rampJob({ ramp: { rate: 0.5, slowRate: 0.25, cycles: 2, before: 1, beyond: 2 } }).procedure;
    // Trip 90 °C, dead band 2 K to 5 K: the reset is expected in its middle, at 86.5 °C.
    expect(points).toEqual([
      { temperature: 92, sweep: { from: 89, rate: 0.5, cycle: 1 } },
      { temperature: 84.5, sweep: { from: 87.5, rate: 0.5, cycle: 1 } },
      { temperature: 92, sweep: { from: 89, rate: 0.25, cycle: 2 } },
      { temperature: 84.5, sweep: { from: 87.5, rate: 0.25, cycle: 2 } },
    ]);
  });

  it("keeps the ramps that it has, so that a log reads as it was written", () => {
    const job = rampJob();
    expect(jobSchema.parse(JSON.parse(JSON.stringify(job)))).toEqual(job);
  });

  it("begins with the direction of the trip, and takes margins from the tolerance where none are said", () => {
    const base = rampJob({ sensor: { tripsOn: "falling" } });
    const { before: _, beyond: _b, ...ramp } = base.procedure.ramp!;
    const { points: _p, ...procedure } = base.procedure;
    const job = jobSchema.parse({ ...base, procedure: { ...procedure, ramp } });
    // ±1 K: 1.5 K and 1 K more on either side of 90 °C.
    expect(job.procedure.points[0]).toEqual({ temperature: 87.5, sweep: { from: 92.5, rate: 0.5, cycle: 1 } });
    const item = job.items[0]!;
    if (!isSwitch(item)) throw new Error("no switch");
    expect(expectedChanges(item).falling).toMatchObject({ role: "trip", closed: true, nominal: 90 });
    expect(expectedChanges(item).rising).toMatchObject({ role: "reset", closed: false, expected: 93.5, nominal: null });
  });

  const complaint = (change: (job: ReturnType<typeof rampJob>) => unknown): string => {
    const result = jobSchema.safeParse(change(rampJob()));
    return result.success
      ? ""
      : result.error.issues.map(({ path, message }) => `${path.join(".")}: ${message}`).join("\n");
  };
  const withProcedure = (fields: object) => (job: ReturnType<typeof rampJob>) => ({
    ...job,
    procedure: { ...job.procedure, ...fields },
  });

  it.each<[string, (job: ReturnType<typeof rampJob>) => unknown, RegExp]>([
    [
      "a switch without a ramp",
      withProcedure({ ramp: undefined }),
      /procedure\.ramp: this field is missing: TSH-118 is a switch/,
    ],
    [
      "a fit of it",
      withProcedure({ fit: { model: "polynomial", degree: 1 } }),
      /procedure\.fit: this belongs to readings at rest/,
    ],
    [
      "points at rest besides its ramps",
      withProcedure({ points: [{ temperature: 50 }] }),
      /worked out from procedure\.ramp/,
    ],
    [
      "a thermometer beside it",
      (job) => ({ ...job, items: [...job.items, inventedJob().items[0]!] }),
      /is no switch, and procedure\.ramp/,
    ],
    [
      "rates that are nearly alike",
      withProcedure({ ramp: { rate: 0.5, slowRate: 0.45 } }),
      /0\.75 times the rate or less/,
    ],
    [
      "no word of where it comes back",
      (job) => ({ ...job, items: [{ ...job.items[0], sensor: { kind: "switch", onRise: "opens", trip: 90 } }] }),
      /say where it shall come back: reset, or deadBand/,
    ],
    [
      "a reset on the wrong side",
      (job) => ({
        ...job,
        items: [
          {
            ...job.items[0],
            sensor: { kind: "switch", onRise: "opens", trip: 90, reset: { temperature: 95, kelvin: 1 } },
          },
        ],
      }),
      /resets below its trip/,
    ],
    [
      "a switch as the reference",
      (job) => ({ ...job, kit: { ...job.kit, reference: { ...job.kit.reference, sensor: job.items[0]!.sensor } } }),
      /kit\.reference\.sensor/,
    ],
  ])("refuses %s", (_, change, words) => expect(complaint(change)).toMatch(words));

  it("asks for points where there is neither a switch nor a ramp", () => {
    const { points: _, ...procedure } = inventedJob().procedure;
    const result = jobSchema.safeParse({ ...inventedJob(), procedure });
    expect(result.success).toBe(false);
    expect(result.error!.issues[0]).toMatchObject({ path: ["procedure", "points"] });
    const sweep = { from: 40, rate: 1, cycle: 1 };
    const stray = jobSchema.safeParse({
      ...inventedJob(),
      procedure: { ...procedure, points: [{ temperature: 50, sweep }] },
    });
    expect(stray.error!.issues[0]!.message).toMatch(/a sweep belongs to a ramp/);
  });
});

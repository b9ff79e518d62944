import { describe, expect, it } from "vitest";
import { evaluate } from "#calibration";
import { failure } from "#fault";
import { conductAnalytic, inventedJob, type BenchTroubles } from "./analytic-bench.test-support.ts";

const by = "Ines Holloway";
const job = inventedJob();
/** The second point is commanded at about 900 s, and steady from about 1500 s on to 1850 s. */
const late = 1600;
const conduct = (troubles: BenchTroubles) => conductAnalytic(job, troubles);

describe("a reference that fails in the middle of a run", () => {
  it("and gives no temperature is named, its point flagged, the run paused [E25]", async () => {
    // A shorted probe: an ohm of cable, far below the coldest temperature of the equation.
    const signal = (channel: string, time: number): number | null =>
      channel === "reference" && time > late ? 1 : null;
    const { log, ended, runner } = await conduct({ signal });
    expect(ended).toBe(false);
    expect(log.find((event) => event.kind === "fault-seen")).toMatchObject({
      code: "signal.out-of-range",
      channel: "reference",
      pass: "as-found",
      point: 1,
      message: expect.stringMatching(/R-1.*open or shorted.*replace the reference/s),
    });
    expect(runner.view().stage).toBe("paused");
  });

  it("open on its channel is a fault of the reference, and its readings count for nothing [E25]", async () => {
    const channel: BenchTroubles["channel"] = (name, time) =>
      name === "reference" && time > late && time < late + 60
        ? failure("signal.open-circuit", "Input 1 is open.").fault
        : null;
    const { log, runner } = await conduct({ channel });
    expect(log.find((event) => event.kind === "fault-seen")).toMatchObject({
      code: "signal.open-circuit",
      channel: "reference",
    });
    expect(runner.view().commands).toEqual(expect.arrayContaining(["resume", "replace-kit", "repeat-point"]));
  });

  it("that shows one value while the item moves is stuck [E25]", async () => {
    let held: number | null = null;
    const reference = (temperature: number, time: number): number => {
      if (time <= 960) return temperature;
      held ??= temperature;
      return held;
    };
    const { log, ended } = await conduct({ reference });
    expect(ended).toBe(false);
    expect(log.find((event) => event.kind === "fault-seen")).toMatchObject({
      code: "signal.stuck",
      pass: "as-found",
      point: 1,
      message: expect.stringMatching(/the item moved.*replace the reference/s),
    });
  });

  it("that jumps while no item does is named, and the point measured anew after resuming [E25]", async () => {
    const reference = (temperature: number, time: number): number =>
      temperature + (time > late && time < late + 70 ? 0.6 : 0);
    const { log } = await conductAnalytic(job, { reference }, [
      { when: ({ stage, at }) => stage === "paused" && at > late + 100, command: { command: "resume", by } },
    ]);
    const seen = log.find((event) => event.kind === "fault-seen")!;
    expect(seen).toMatchObject({ code: "signal.jump", channel: "reference", point: 1 });
    expect(seen.at - late).toBeLessThan(30);
    const [, second] = evaluate(log).items[0]!.passes[0]!.points;
    expect(second).toMatchObject({ status: "measured" });
    expect(second!.status === "measured" && second!.window.from).toBeGreaterThan(late + 70);
  });

  it("a source that was disturbed is no fault of the reference [E25]", async () => {
    const disturbance = (time: number): number => (time > late && time < late + 40 ? 0.8 : 0);
    const { log } = await conduct({ disturbance });
    expect(log.filter(({ kind }) => kind === "fault-seen")).toEqual([]);
    expect(log.at(-1)).toMatchObject({ outcome: "completed" });
  });

  it("a healthy one is not accused, whatever the seeds of its noise [E25]", async () => {
    for (const interval of [1, 2, 5]) {
      const calm = inventedJob({
        procedure: {
          readings: { count: 10, interval },
          points: [30, 90, 150, 60].map((temperature) => ({ temperature })),
        },
      });
      const { log } = await conductAnalytic(calm);
      expect(log.filter(({ kind }) => kind === "fault-seen")).toEqual([]);
    }
  });
});

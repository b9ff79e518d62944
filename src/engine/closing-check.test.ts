import { describe, expect, it } from "vitest";
import { evaluate, type JobInput, type RunEvent } from "#calibration";
import { conductAnalytic, inventedJob } from "./analytic-bench.test-support.ts";

const by = "Ines Holloway";
const ice: Partial<JobInput["procedure"]> = { closingCheck: { kind: "ice-point", limit: 0.05 } };
const kinds = (log: readonly RunEvent[]) => log.map(({ kind }) => kind).filter((kind) => kind !== "readings-taken");

describe("the closing check in an ice point", () => {
  it("is made in the cool-down, with the source off and the probe below 50 °C, and holds [E18]", async () => {
    const job = inventedJob({ procedure: ice });
    const { log, bench } = await conductAnalytic(job, { hands: true });
    const begun = log.find((event) => event.kind === "check-begun")!;
    const placed = log.find((event) => event.kind === "reference-placed")!;
    expect(bench.switched.at(-1)).toBe(false);
    // The source was off before the check, and the reference was read below 50 °C before it was moved.
    expect(log.findLast((event) => event.kind === "output-switched" && event.n < placed.n)).toMatchObject({
      on: false,
    });
    expect(placed.at - begun.at).toBeGreaterThan(30);
    expect(kinds(log).slice(-7)).toEqual([
      "check-begun",
      "reference-placed",
      "check-settled",
      "check-measured",
      "note-added",
      "output-switched",
      "run-ended",
    ]);
    const { closingCheck } = evaluate(log);
    expect(closingCheck).toMatchObject({ status: "holds", limit: 0.05 });
    expect(Math.abs(closingCheck!.differences[0]!.difference.value)).toBeLessThan(0.005);
  });

  it("that fails pauses the run on site; resuming checks again, and it cannot be forgotten [E19]", async () => {
    const job = inventedJob({ procedure: ice });
    const drifted = { hands: true, reference: (temperature: number) => temperature + 0.12 };
    const { log, ended, runner } = await conductAnalytic(job, drifted, [
      { when: ({ stage }) => stage === "paused", command: { command: "resume", by } },
    ]);
    expect(ended).toBe(false);
    expect(log.filter(({ kind }) => kind === "check-measured")).toHaveLength(2);
    expect(runner.view().sentence.happening).toMatch(/beyond the limit of 0\.05 K.*suspect/);
    expect(runner.view().commands).toEqual(
      expect.arrayContaining(["resume", "skip-check", "replace-kit", "repeat-point", "stop"]),
    );
    const { log: left } = await conductAnalytic(
      job,
      drifted,
      [{ when: ({ stage }) => stage === "paused", command: { command: "skip-check", by, reason: "the shop decides" } }],
      log,
    );
    expect(left.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
    const result = evaluate(left);
    expect(result.closingCheck).toMatchObject({ status: "failed" });
    for (const point of result.items[0]!.passes[0]!.points)
      expect(point).toMatchObject({
        status: "measured",
        conformity: null,
        conformityNote: expect.stringMatching(/suspect/),
      });
  });

  it("waits for a person where the bench has no hand, and does not take a hot probe [E18]", async () => {
    const job = inventedJob({ procedure: ice });
    const early = await conductAnalytic(job, {}, [
      (bench) => ({
        when: ({ commands, stage }) => {
          if (stage !== "checking" || !commands.includes("confirm-check")) return false;
          bench.put("ice-point");
          return true;
        },
        command: { command: "confirm-check", by },
      }),
    ]);
    const placed = early.log.find((event) => event.kind === "reference-placed")!;
    expect(placed).toMatchObject({ where: "ice-point", by });
    expect(early.log.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
    const hot = await conductAnalytic(job, {}, [
      { when: ({ stage }) => stage === "checking", command: { command: "confirm-check", by } },
      { when: ({ stage }) => stage === "checking", command: { command: "skip-check", by, reason: "no ice on site" } },
    ]);
    expect(hot.answers[0]).toMatchObject({ ok: false, fault: { code: "run.not-allowed" } });
    expect(evaluate(hot.log).closingCheck).toMatchObject({
      status: "not-done",
      statement: expect.stringContaining("no ice on site"),
    });
  });
});

describe("the closing check beside a second thermometer", () => {
  const plan = {
    kind: "check-thermometer" as const,
    temperature: 40,
    description: "check probe",
    serial: "C-1",
    certificate: "X-3",
    uncertainty: 0.03,
    limit: 0.1,
  };

  it("compares the two on a channel, at the temperature that the procedure names [E18]", async () => {
    const job = inventedJob({
      procedure: { closingCheck: { ...plan, channel: "check" } },
      channels: { check: { instrument: "readout-1", input: 5, unit: "°C" } },
    });
    const { log, bench } = await conductAnalytic(job, { hands: true, checkError: -0.03 });
    expect(bench.commanded).toEqual([50, 100, 40]);
    const { closingCheck } = evaluate(log);
    expect(closingCheck!.status).toBe("holds");
    expect(closingCheck!.differences[0]!.difference.value).toBeCloseTo(0.03, 2);
    expect(closingCheck!.differences[0]!.U).toBeGreaterThan(0.03);
  });

  it("takes the value typed by hand once the reference is steady [E18]", async () => {
    const job = inventedJob({ procedure: { closingCheck: plan } });
    const { log } = await conductAnalytic(job, { hands: true }, [
      {
        when: ({ commands }) => commands.includes("record-check"),
        command: { command: "record-check", by, value: 40.02 },
      },
    ]);
    expect(log.find((event) => event.kind === "check-measured")).toMatchObject({ typed: 40.02, by });
    expect(evaluate(log).closingCheck!.differences[0]!.difference.value).toBeCloseTo(-0.02, 2);
  });
});

describe("the first point once more", () => {
  it("is measured at the end of each pass, and its difference is in the result [E20]", async () => {
    const job = inventedJob({ procedure: { closingCheck: { kind: "first-point", limit: 0.05 } } });
    const { log, bench } = await conductAnalytic(job);
    expect(bench.commanded).toEqual([50, 100, 50]);
    const [pass] = evaluate(log).items[0]!.passes;
    expect(pass!.check).toMatchObject({ kind: "first-point", status: "holds" });
    expect(pass!.repeats).toHaveLength(1);
  });

  it("that moved beyond the limit pauses the run before as found is locked [E19, E20]", async () => {
    const job = inventedJob({
      procedure: {
        closingCheck: { kind: "first-point", limit: 0.05 },
        passes: ["as-found", "as-left"],
        adjustment: { kind: "zero-and-span", adjustAbove: 0.5, authorisedBy: by },
      },
    });
    // The item moves by 0.3 K after the first point.
    const item = (temperature: number, time: number): number => temperature + (time > 1500 ? 0.35 : 0.05);
    const { log, ended, runner } = await conductAnalytic(job, { item });
    expect(ended).toBe(false);
    expect(runner.view().sentence).toMatchObject({
      happening: expect.stringMatching(/first point differed by: TT-101 0\.\d+ K/),
      now: expect.stringMatching(/Repeat the first point/),
    });
    expect(log.some(({ kind }) => kind === "item-adjusted")).toBe(false);
    expect(runner.view().commands).toContain("repeat-point");
    expect(evaluate(log).items[0]!.passes[0]).toMatchObject({ decision: "undecided", check: { status: "failed" } });
  });
});

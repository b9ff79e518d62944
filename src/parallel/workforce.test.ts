import { afterAll, describe, expect, it } from "vitest";
import { readFileSync } from "node:fs";
import { evaluate, parseLog, validatePoints, type RunOpened } from "#calibration";
import { unwrap } from "#fault";
import { reassess, suspicionSchema } from "#traceback";
import { simulateBudget, type Budget } from "#uncertainty";
import { createWorkforce, withWorkforce, type WorkProgress } from "./workforce.ts";

const text = readFileSync(new URL("../../test/fixtures/uncertainty/worked-run.jsonl", import.meta.url), "utf8");
const log = parseLog(text.split("\n"));
const result = evaluate(log);
const budget: Budget = {
  lines: [
    { name: "a", u: 3, value: 7 },
    { name: "b", u: 4, sensitivity: -1 },
    { name: "c", u: 2, distribution: "rectangular" },
    { name: "d", u: 1, dof: 4, distribution: "student" },
  ],
  correlations: [{ a: "a", b: "b", r: 0.3 }],
};
const settings = { trials: 230_000, seed: 12 };

describe("a workforce", () => {
  const forces = [1, 2, 3].map((threads) => createWorkforce({ threads }));
  afterAll(async () => void (await Promise.all(forces.map((force) => force.close()))));

  it("simulates a budget to the same digits on one, two and three threads as on none [U17]", async () => {
    const here = unwrap(simulateBudget(budget, settings));
    for (const force of forces) expect(unwrap(await force.simulateBudget(budget, settings))).toEqual(here);
  });

  it("makes the same adaptive number of trials [U17, U18]", async () => {
    const adaptive = { trials: "adaptive" as const, seed: 3 };
    const here = unwrap(simulateBudget(budget, adaptive));
    expect(here.trials).toBeGreaterThan(50_000);
    for (const force of forces) expect(unwrap(await force.simulateBudget(budget, adaptive))).toEqual(here);
  });

  it("validates the points of a run as the pure function does, and counts them [C40, U17]", async () => {
    const here = validatePoints(log, result, { trials: 30_000 });
    for (const force of forces.slice(0, 2)) {
      const seen: WorkProgress[] = [];
      const there = await force.validatePoints(
        log,
        result,
        { trials: 30_000 },
        { onProgress: (progress) => seen.push(progress) },
      );
      expect(there).toEqual(here);
      expect(seen).toEqual([
        { done: 0, of: 2 },
        { done: 1, of: 2 },
        { done: 2, of: 2 },
      ]);
    }
  });

  it("evaluates many logs in their order; a damaged one is named and disturbs no other", async () => {
    const damaged = text.replace('"kind":"point-measured"', '"kind":"point-guessed"');
    const texts = Array.from({ length: 40 }, (_, index) => (index === 17 ? damaged : text));
    const seen: number[] = [];
    const answers = await forces[1]!.evaluateLogs(texts, { onProgress: ({ done }) => seen.push(done) });
    expect(answers.map((answer) => "result" in answer)).toEqual(texts.map((_, index) => index !== 17));
    expect(answers[3]).toEqual({ result });
    expect(answers[17]).toMatchObject({ fault: { code: "log.invalid" } });
    expect(seen).toEqual([8, 16, 24, 32, 40]);
  });

  it("evaluates logs again as if a suspect had been right, a broken one leaving the others alone", async () => {
    const { job } = log[0] as RunOpened;
    const suspicion = suspicionSchema.parse({
      kit: { kind: "reference", serial: job.kit.reference.serial },
      good: "2000-01-01",
      bad: "2000-01-02",
      correction: { kind: "differences", table: [{ at: 0, add: 0.1 }] },
      course: { kind: "step" },
      reason: "invented",
    });
    const texts = Array.from({ length: 10 }, (_, index) => (index === 4 ? "{}" : text));
    const answers = await forces[1]!.reassessLogs(texts, suspicion);
    expect(answers.map((answer) => "moved" in answer)).toEqual(texts.map((_, index) => index !== 4));
    expect(answers[7]).toEqual({ moved: reassess(log, suspicion) });
  });

  it("says how far it has come", async () => {
    const seen: WorkProgress[] = [];
    await forces[1]!.simulateBudget(budget, settings, { onProgress: (progress) => seen.push(progress) });
    expect(seen).toEqual([50_000, 100_000, 150_000, 200_000, 230_000].map((done) => ({ done, of: 230_000 })));
    const open: WorkProgress[] = [];
    await forces[1]!.simulateBudget(
      budget,
      { trials: "adaptive", seed: 3 },
      { onProgress: (progress) => open.push(progress) },
    );
    expect(open.every(({ of }) => of === null)).toBe(true);
  });

  it("stops at once when it is told to, with the signal's reason, and works on afterwards", async () => {
    const stop = new AbortController();
    const reason = new Error("enough");
    const begun = performance.now();
    const work = forces[1]!.simulateBudget(
      budget,
      { trials: 10_000_000, seed: 1 },
      {
        signal: stop.signal,
        onProgress: ({ done }) => (done >= 100_000 ? stop.abort(reason) : undefined),
      },
    );
    await expect(work).rejects.toBe(reason);
    // The whole would take many times as long.
    expect(performance.now() - begun).toBeLessThan(2500);
    await expect(forces[1]!.simulateBudget(budget, settings, { signal: AbortSignal.abort(reason) })).rejects.toBe(
      reason,
    );
    expect(unwrap(await forces[1]!.simulateBudget(budget, settings)).trials).toBe(230_000);
  });

  it("answers what cannot be simulated with the failure of the pure function", async () => {
    for (const [bad, given] of [
      [{ lines: [] }, settings],
      [{ lines: [{ name: "x", u: -1 }] }, settings],
      [{ lines: [{ name: "x", u: 1e308 }] }, settings],
      [budget, { trials: 3, seed: 1 }],
      [budget, { trials: 5000, seed: Number.NaN }],
    ] as const) {
      const outcome = await forces[0]!.simulateBudget(bad, given);
      expect(outcome).toEqual(simulateBudget(bad, given));
      expect(outcome.ok).toBe(false);
    }
  });
});

it("for one piece of work lets its threads go at the end, also of work that fails", async () => {
  expect(await withWorkforce({ threads: 2 }, async (force) => force.threads)).toBe(2);
  let kept: ReturnType<typeof createWorkforce> | undefined;
  const failing = withWorkforce({ threads: 1 }, async (force) => {
    kept = force;
    throw new Error("no");
  });
  await expect(failing).rejects.toThrow("no");
  await expect(kept!.simulateBudget(budget, settings)).rejects.toThrow("closed");
});

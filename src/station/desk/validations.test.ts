import { readFileSync } from "node:fs";
import { afterEach, describe, expect, it } from "vitest";
import { evaluate, parseLog, validatePoints } from "#calibration";
import { createWorkforce, type Workforce } from "#parallel";
import { Validations } from "./validations.ts";

const text = readFileSync(new URL("../../../test/fixtures/uncertainty/worked-run.jsonl", import.meta.url), "utf8");
const log = parseLog(text.split("\n"));
const result = evaluate(log);

const settled = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 0));

/** Threads that validate when they are told to, so that a moment of the work can be looked at. */
const haltingForce = () => {
  const own = createWorkforce({ threads: 1 });
  const gates: (() => void)[] = [];
  let asked = 0;
  const force: Workforce = {
    threads: 1,
    simulateBudget: (...all) => own.simulateBudget(...all),
    simulatePoint: (...all) => own.simulatePoint(...all),
    evaluateLogs: (...all) => own.evaluateLogs(...all),
    reassessLogs: (...all) => own.reassessLogs(...all),
    close: () => own.close(),
    async validatePoints(events, of, settings, options = {}) {
      asked += 1;
      options.onProgress?.({ done: 1, of: 2 });
      await new Promise<void>((resolve, reject) => {
        gates.push(resolve);
        options.signal?.addEventListener("abort", () => reject(options.signal!.reason as Error));
        if (options.signal?.aborted === true) reject(options.signal.reason as Error);
      });
      return validatePoints(events, of, { ...settings, trials: 10_000 });
    },
  };
  return { force, open: () => gates.pop()?.(), asked: () => asked };
};

describe("the validations of ended runs", () => {
  let validations: Validations | undefined;
  afterEach(() => validations?.close());

  it("are begun when they are asked for, say how far they are, and are made once [C45]", async () => {
    const { force, open, asked } = haltingForce();
    validations = new Validations(force);
    expect(validations.of(log, result)).toEqual({ state: "running", done: 0, of: 2, points: [] });
    await settled();
    expect(validations.of(log, result)).toMatchObject({ state: "running", done: 1, of: 2 });
    open();
    const points = await validations.whole(log, result);
    expect(validations.of(log, result)).toEqual({ state: "done", done: 2, of: 2, points });
    expect(points.map(({ status }) => status)).toEqual(["validated", "validated"]);
    // What is added after the end (a note, the source cool at last) begins nothing anew.
    const later = [...log, { kind: "note-added" as const, n: log.length, at: 9_999, text: "cool", by: "somebody" }];
    expect(validations.of(later, result).state).toBe("done");
    expect(asked()).toBe(1);
  });

  it("can be cancelled, say so of every point, and are begun anew on asking only [C45]", async () => {
    const { force, open } = haltingForce();
    validations = new Validations(force);
    validations.of(log, result);
    await settled();
    validations.cancel(result.run);
    const points = await validations.whole(log, result);
    expect(points).toMatchObject([{ code: "uncertainty.cancelled" }, { code: "uncertainty.cancelled" }]);
    expect(validations.of(log, result).state).toBe("cancelled");
    expect(validations.again(log, result).state).toBe("running");
    await settled();
    open();
    await validations.whole(log, result);
    expect(validations.again(log, result).state).toBe("done");
  });

  it("wait for the end of a run, and are given up when the station stops", async () => {
    const { force, asked } = haltingForce();
    const own = new Validations(force);
    expect(own.of(log, { ...result, outcome: "open" })).toEqual({ state: "open", done: 0, of: 2, points: [] });
    expect(await own.whole(log, { ...result, outcome: "open" })).toEqual([]);
    expect(asked()).toBe(0);
    own.of(log, result);
    await settled();
    await own.close();
    expect(own.of(log, result).state).toBe("cancelled");
  });
});

import { describe, expect, it } from "vitest";
import { evaluate, type JobInput, type RunEvent, type RunEventOf } from "#calibration";
import { conductAnalytic, inventedJob } from "./analytic-bench.test-support.ts";
import { replay } from "./evolve.ts";
import { initialState } from "./open-run.ts";
import { viewOf } from "./view.ts";

type Rules = NonNullable<NonNullable<JobInput["procedure"]["settling"]>["rules"]>;

const bound = (rules: Rules) =>
  inventedJob({
    procedure: { points: [{ temperature: 60 }], settling: { target: { fractionOfTolerance: 0.2 }, rules } },
  });
const settledIn = (log: readonly RunEvent[]) =>
  log.filter((event): event is RunEventOf<"point-settled"> => event.kind === "point-settled");
const minutesTo = (log: readonly RunEvent[]): number => settledIn(log)[0]!.at / 60;

describe("a written rule about readiness [S15]", () => {
  it("binds together with our own judgement, and the evidence of both is in the log", async () => {
    const plain = await conductAnalytic(inventedJob({ procedure: { points: [{ temperature: 60 }] } }), {});
    const { log } = await conductAnalytic(
      bound({ soak: 3600, limits: [{ on: "difference", window: 300, spread: 5, slope: 1 }] }),
      {},
    );
    expect(minutesTo(log)).toBeGreaterThanOrEqual(60);
    expect(minutesTo(log)).toBeGreaterThan(minutesTo(plain.log));
    const [{ evidence }] = settledIn(log) as [RunEventOf<"point-settled">];
    expect(evidence).toMatchObject({ judgement: "both", ownReady: true });
    expect(evidence.rules!.map(({ rule, on, holds }) => `${rule} ${on} ${holds}`)).toEqual([
      "soak reference true",
      "spread difference true",
      "slope difference true",
    ]);
    expect(evidence.remainder).toBeLessThan(evidence.target);
    expect(settledIn(plain.log)[0]!.evidence.rules).toBeUndefined();
  });

  it("alone it binds without ours: the point says so, and its U carries what is missing", async () => {
    const early: Rules = { judgement: "rules", limits: [{ on: "reference", window: 30, spread: 100 }] };
    const hasty = await conductAnalytic(bound(early), {}, [], undefined, 400);
    const patient = await conductAnalytic(
      inventedJob({ procedure: { points: [{ temperature: 60 }] } }),
      {},
      [],
      undefined,
      400,
    );
    const [{ evidence }] = settledIn(hasty.log) as [RunEventOf<"point-settled">];
    expect(evidence).toMatchObject({ judgement: "rules", ownReady: false });
    expect(minutesTo(hasty.log)).toBeLessThan(minutesTo(patient.log));
    const notes = hasty.log.flatMap((event) => (event.kind === "note-added" ? [event.text] : []));
    expect(notes.some((text) => /measured because the written rule is met.*not settled yet/.test(text))).toBe(true);
    const point = (log: readonly RunEvent[]) => {
      const found = evaluate(log).items[0]!.passes[0]!.points[0]!;
      if (found.status !== "measured") throw new Error("not measured");
      return found;
    };
    const line = (log: readonly RunEvent[]) => point(log).budget.lines.find(({ id }) => id === "settling.remainder")!;
    expect(line(hasty.log).source).toMatch(
      /; written rules: spread of reference over 30 s: [\d.]+ K, limit 100 K; the written rules alone bound, our own/,
    );
    expect(line(patient.log).source).not.toMatch(/written/);
    expect(line(hasty.log).u).toBeGreaterThan(line(patient.log).u);
    expect(point(hasty.log).budget.U).toBeGreaterThan(point(patient.log).budget.U);
  });

  it("a log with rules replays to the state that the run had", async () => {
    const { log, runner } = await conductAnalytic(bound({ soak: 600 }), {});
    const [opened, ...rest] = log;
    if (opened?.kind !== "run-opened") throw new Error("no opening");
    expect(viewOf(replay(initialState(opened), rest))).toEqual(runner.view());
  });
});

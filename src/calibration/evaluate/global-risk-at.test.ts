import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { globalRisk, priorFrom } from "#uncertainty";
import type { JobInput } from "../job/job.ts";
import type { MeasuredPoint } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { globalRiskAt } from "./global-risk-at.ts";
import { explain } from "./explain.ts";
import { explanationText } from "./explanation-text.ts";
import { InventedRun, inventedJob } from "./invented-run.test-support.ts";

type Histories = NonNullable<JobInput["history"]>;

/** Invented errors of the item, as they were found in five years. */
const errors = [0.05, -0.12, 0.18, 0.02, 0.11].map((error, index) => ({
  date: `202${index}-05-04`,
  error,
  u: 0.02,
  temperature: 100,
}));

const runWith = (history: Histories | undefined, procedure: Partial<JobInput["procedure"]> = {}) => {
  const job = inventedJob(history === undefined ? {} : { history });
  return new InventedRun({ ...job, procedure: { ...job.procedure, ...procedure } as typeof job.procedure })
    .begin()
    .measure({ point: 0, errors: [0.05], noise: 0.004 })
    .measure({ point: 1, errors: [0.1], noise: 0.004 }).events;
};

const pointsOf = (log: ReturnType<typeof runWith>) => evaluate(log).items[0]!.passes[0]!.points as MeasuredPoint[];

describe("the global risk of a point", () => {
  it("is not there without a history, and the digits are the same with one [C41]", () => {
    const plain = pointsOf(runWith(undefined));
    for (const point of plain) expect("globalRisk" in point).toBe(false);
    const informed = pointsOf(runWith([{ item: "item-pt", of: "item", errors }]));
    for (const [index, point] of informed.entries()) {
      const { globalRisk: stated, ...rest } = point;
      expect(stated).toBeDefined();
      expect(rest).toEqual(plain[index]);
    }
  });

  it("is that of the fitted prior, the rule's acceptance and u, beside the specific risk [C41]", () => {
    const [cold, hot] = pointsOf(runWith([{ item: "item-pt", of: "item", errors }]));
    const prior = unwrap(
      priorFrom(
        errors.map(({ error }) => error),
        0.02,
      ),
    );
    const { conformity, budget } = hot!;
    const expected = unwrap(globalRisk(conformity!.tolerance, conformity!.acceptance!, budget.u, prior));
    expect(hot!.globalRisk).toMatchObject({ status: "stated", ...expected });
    expect(hot!.globalRisk).toMatchObject({
      prior: { ...prior, of: "item", from: "2020-05-04", to: "2024-05-04" },
    });
    expect(conformity!.specificRisk).not.toBe(expected.consumer);
    // The errors were found at 100 °C; of the other point they say nothing.
    expect(cold!.globalRisk).toMatchObject({ status: "not-stated" });
    expect(JSON.stringify(cold!.globalRisk)).toContain("At 0 °C");
  });

  it("takes the class where the item's own history does not tell, and no error of a later day [C41]", () => {
    const found = [0.2, -0.2, 0.1, -0.1, 0.05, 0.15, -0.05].map((error) => ({ date: "2025-03-01", error, u: 0.03 }));
    const risk = (histories: Histories) => pointsOf(runWith(histories))[1]!.globalRisk;
    const short = { item: "item-pt", of: "item" as const, errors: errors.slice(0, 2) };
    const ofClass = { item: "item-pt", of: "class" as const, errors: found };
    expect(risk([short, ofClass])).toMatchObject({ status: "stated", prior: { of: "class", observations: 7 } });
    expect(risk([{ item: "somebody", of: "class", errors: found }])).toBeUndefined();
    const later = errors.map((each) => ({ ...each, date: "2030-01-01" }));
    expect(risk([{ item: "item-pt", of: "item", errors: [...errors, ...later] }])).toEqual(
      risk([{ item: "item-pt", of: "item", errors }]),
    );
    expect(risk([{ item: "item-pt", of: "item", errors: later }])).toMatchObject({ status: "not-stated" });
    // A scatter that the measurements alone would make tells nothing of the items.
    const noisy = errors.map((each) => ({ ...each, u: 0.5 }));
    expect(risk([{ item: "item-pt", of: "item", errors: noisy }])).toMatchObject({ status: "not-stated" });
  });

  it("has no place where the rule accepts nothing, or after an adjustment [C41]", () => {
    const histories: Histories = [{ item: "item-pt", of: "item", errors }];
    const strict = pointsOf(runWith(histories, { decision: { kind: "guard-band", factor: 100 } }))[1]!;
    expect(strict.conformity!.decision).toBe("undecided");
    expect(strict.globalRisk).toMatchObject({
      status: "not-stated",
      reason: expect.stringContaining("accepts nothing"),
    });
    const own = { histories, place: { item: "item-pt", nominal: 100, day: 20_500, adjusted: false } };
    const { conformity, budget } = pointsOf(runWith(histories))[1]!;
    expect(globalRiskAt(own.histories, own.place, conformity, budget)).toMatchObject({ status: "stated" });
    expect(globalRiskAt(own.histories, { ...own.place, adjusted: true }, conformity, budget)).toMatchObject({
      status: "not-stated",
      reason: expect.stringContaining("was adjusted"),
    });
  });

  it("is told apart from the specific risk in the derivation [C41]", () => {
    const log = runWith([{ item: "item-pt", of: "item", errors }]);
    const explained = unwrap(explain(log, { item: "item-pt", pass: "as-found", point: 1 }));
    const [specific, global, prior] = explained.decision.risks;
    expect(specific).toMatch(/^specific risk, of this very item/);
    expect(global).toMatch(/^global risk, before any measurement, not of this item: .* \(consumer\), .* \(producer\)$/);
    expect(prior).toContain("5 of this item's own earlier errors, 2020-05-04 to 2024-05-04");
    expect(explanationText(explained)).toContain(global!);
  });
});

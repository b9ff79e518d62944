import { describe, expect, test } from "vitest";
import type { GlobalRiskStatement, Job, NoGlobalRisk, Result } from "#calibration";
import { sampleRun } from "../fixtures/sample-run.test-support.ts";
import { checkBeforeIssue } from "./check-before-issue.ts";
import { globalRiskStatements } from "./global-risk-statement.ts";
import { writingIn } from "./writing.ts";

const stated: GlobalRiskStatement = {
  status: "stated",
  consumer: 0.0042,
  producer: 0.031,
  prior: { of: "item", mean: 0.02, sd: 0.123, observed: 0.13, observations: 6, from: "2020-05-04", to: "2025-05-04" },
  origin: [0],
};
const asked = (job: Job): Job => ({ ...job, procedure: { ...job.procedure, stateGlobalRisk: true } });

const withRisks = (result: Result, risks: readonly (GlobalRiskStatement | NoGlobalRisk)[]): Result => ({
  ...result,
  items: result.items.map((item) => ({
    ...item,
    passes: item.passes.map((pass) => ({
      ...pass,
      points: pass.points.map((point, index) => {
        const risk = pass.pass === "as-found" ? risks[index] : undefined;
        return point.status === "measured" && risk !== undefined ? { ...point, globalRisk: risk } : point;
      }),
    })),
  })),
});

const jobOf = ({ log }: ReturnType<typeof sampleRun>): Job => {
  const [opened] = log;
  if (opened?.kind !== "run-opened") throw new Error("The sample has no opening.");
  return opened.job;
};

describe("global risk on the certificate", () => {
  const run = sampleRun(asked);
  const none = { status: "not-stated" as const, reason: "A history of 2 errors is too short." };
  const result = withRisks(run.result, [stated, none]);

  test("stands there only where the customer asked for it", () => {
    expect(globalRiskStatements(jobOf(sampleRun()), result, writingIn("en"))).toEqual([]);
    expect(globalRiskStatements(jobOf(run), run.result, writingIn("en"))).toEqual([]);
  });

  test("names consumer's and producer's risk, the prior, and that it is not of this item [C41]", () => {
    const [statement, ...others] = globalRiskStatements(jobOf(run), result, writingIn("en"));
    expect(others).toEqual([]);
    const text = statement!.text.replaceAll(/[\u00a0\u2009\u202f]/g, " ");
    expect(text).toContain("It judges the rule and not the item that was measured");
    expect(text).toContain("0 °C 0.42 % and 3.1 %; 50 °C not stated.");
    expect(text).toContain("earlier errors from 2020-05-04 to 2025-05-04, standard deviation 0.12 K without the part");
  });

  test("is missed aloud in the check list where it was asked for [C41]", () => {
    const warnings = (of: Result): string[] =>
      checkBeforeIssue({ ...run, result: of }).warnings.flatMap(({ clause, message }) =>
        clause.startsWith("JCGM 106") ? [message] : [],
      );
    expect(warnings(run.result)).toEqual([expect.stringContaining("the job holds no history")]);
    expect(warnings(result)).toEqual([expect.stringContaining("A history of 2 errors is too short.")]);
    expect(warnings(withRisks(run.result, [stated, stated]))).toEqual([]);
  });
});

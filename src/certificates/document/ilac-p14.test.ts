import { describe, expect, test } from "vitest";
import type { Job } from "#calibration";
import { sampleRun } from "../fixtures/sample-run.test-support.ts";
import { certificateDocument } from "./certificate-document.ts";
import { checkBeforeIssue } from "./check-before-issue.ts";

/* The rules of ILAC-P14:09/2020 (from memory), numbered as docs/guides/certificate.md prints them; the other rows stand in check-list.test.ts. */

const documentOf = () => certificateDocument({ ...sampleRun(), language: "en", logHash: "0".repeat(64), fit: true });
const stops = (change: (job: Job) => Job): readonly string[] =>
  checkBeforeIssue(sampleRun(change)).stops.map(({ clause }) => clause);
const statement = (document: ReturnType<typeof documentOf>, id: string) =>
  document.statements.find((entry) => entry.id === id)?.text;
const laboratory =
  (change: Partial<Job["laboratory"]>) =>
  (job: Job): Job => ({ ...job, laboratory: { ...job.laboratory, ...change } });

describe("rules of ILAC-P14", () => {
  const run = sampleRun();
  const withU = (U: string, error = "0.5") => ({
    ...run.result,
    items: run.result.items.map((item) => ({
      ...item,
      passes: item.passes.map((pass) => ({
        ...pass,
        points: pass.points.map((point) =>
          point.status === "measured" ? { ...point, reported: { ...point.reported, U, error } } : point,
        ),
      })),
    })),
  });
  test.each([
    ["0.105", "0.500", 8],
    ["0.11", "0.5", 8],
    ["0.11", "0.50", 0],
  ])("rules 3 and 4: U = %s with error %s has %i stops", (U, error, count) =>
    expect(checkBeforeIssue({ ...run, result: withU(U, error) }).stops).toHaveLength(count),
  );
  test("rules 1 and 2: y and U with units, k and coverage", () => {
    const document = documentOf();
    expect(document.items[0]!.passes[0]!.rows[0]!.k.plain).toBe("2.02");
    expect(statement(document, "uncertainty")).toContain("about 95.45");
  });
  test("rule 5: what the uncertainty holds and what it does not", () => {
    expect(statement(documentOf(), "uncertainty")).toContain("the item's own short-term behaviour and resolution");
    expect(statement(documentOf(), "stability")).toContain(
      "no allowance for drift of the item afterwards or for transport",
    );
  });
  test.each([
    [0.094, []],
    [0.0941, ["ILAC-P14", "ILAC-P14"]],
  ])("rule 6: U is never below the capability: %d K", (U, expected) => {
    const at = laboratory({ capability: [{ from: 0, to: 0, U }] });
    expect(stops(at)).toEqual(expected);
  });
  test("rule 6: the smallest row that holds counts, and a table is interpolated", () => {
    const table = laboratory({
      capability: [
        { from: -50, to: 200, U: 1 },
        {
          from: -50,
          to: 200,
          U: [
            { temperature: 0, value: 0.08 },
            { temperature: 150, value: 0.2 },
          ],
        },
      ],
    });
    // 50 °C: 0.12 K against 0.097 K; 100 °C: 0.16 K against 0.11 K; 150 °C: 0.2 K against 0.13 K; each found and left.
    expect(stops(table)).toHaveLength(6);
  });
});

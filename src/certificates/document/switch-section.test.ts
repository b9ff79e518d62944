import { describe, expect, it } from "vitest";
import { switchRun } from "../fixtures/switch-run.test-support.ts";
import { certificateDocument } from "./certificate-document.ts";
import { checkBeforeIssue } from "./check-before-issue.ts";

const documentOf = (run: ReturnType<typeof switchRun>) =>
  certificateDocument({ ...run, language: "en", logHash: "0".repeat(64), fit: true });

describe("the certificate of a switch", () => {
  const run = switchRun([90.3, 86.9, 90.4, 86.8]);
  const [item] = documentOf(run).items;
  const [pass] = item!.passes;

  it("has a row for trip, reset and dead band, each with its own limits and decision", () => {
    expect(pass!.rows.map(({ name, decision }) => `${name!.text} | ${decision.word}`)).toEqual([
      "Trip: opens, rising | Pass",
      "Reset: closes, falling | None stated",
      "Dead band | Pass",
    ]);
    expect(pass!.rows[0]!.nominal.plain).toBe("90");
    expect(pass!.rows[0]!.tolerance!.text).toBe("±1.5");
    expect(pass!.rows[2]!.tolerance!.text).toBe("2 to 5");
    expect(pass!.rows[2]!.error.plain).toBe("");
    expect(pass!.remarks.join(" ")).toMatch(/effect of the ramp is not corrected; up to 5\s?s/);
    expect(item!.facts.find(({ label }) => label === "Specification")!.text).toMatch(
      /for the trip at 90.*dead band 2 to 5/,
    );
  });

  it("lists every ramp with what the contact did", () => {
    expect(item!.evidence.rows.map((row) => row[0])).toEqual(["1, rising", "1, falling", "2, rising", "2, falling"]);
    expect(item!.evidence.rows[0]![3]).toMatch(/^90\.(29|30)/);
  });

  it("can be issued, and says of a contact that did not change that it did not", () => {
    expect(checkBeforeIssue(run).stops).toEqual([]);
    const stuck = switchRun([null, 86.9, null, 86.8]);
    const section = documentOf(stuck).items[0]!.passes[0]!;
    expect(section.decision.kind).toBe("fail");
    expect(section.remarks.join(" ")).toMatch(/Trip: opens, rising has no result: The contact did not change/);
    expect(
      checkBeforeIssue(stuck)
        .warnings.map(({ message }) => message)
        .join(" "),
    ).toMatch(/did not change/);
    const once = checkBeforeIssue(switchRun([90.3, 86.9]));
    expect(once.stops.map(({ message }) => message).join(" ")).toMatch(/scatter is not known.*Repeat the ramp/);
  });
});

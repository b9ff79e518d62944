import { describe, expect, it } from "vitest";
import type { Suspect } from "#contract";
import { emptyRow, missingIn, questionOf, readNumber, type Draft } from "./draft.ts";

const suspect: Suspect = {
  kind: "reference",
  entry: "ref-7",
  serial: "demo-ref",
  description: "Platinum probe",
  units: ["K"],
  revisions: [
    { revision: 2, calibrated: "2026-01-12", certificate: "D-2", coefficients: true },
    { revision: 1, calibrated: "2025-01-12", certificate: "D-1", coefficients: true },
  ],
  runs: 3,
};

const draft: Draft = {
  suspect: "ref-7/demo-ref",
  revision: "",
  good: "2025-01-12",
  bad: "2026-01-12",
  by: "differences",
  unit: "K",
  rows: [{ at: "150", add: "0,055", u: "" }, { at: "0", add: "−0.01", u: "0.004" }, emptyRow],
  right: "",
  course: "linear",
  reason: " recalibration ",
  rehearsals: false,
};

describe("a suspicion being filled in", () => {
  it.each([
    ["0,055", 0.055],
    [" −0.01 ", -0.01],
    ["+3", 3],
    [".5", 0.5],
    ["1e3", undefined],
    ["", undefined],
    ["1.2.3", undefined],
  ])("reads %j as %s", (text, value) => {
    expect(readNumber(text)).toBe(value);
  });

  it("is asked in rising order, without the rows that were left empty", () => {
    expect(missingIn(draft, suspect)).toEqual([]);
    expect(questionOf(draft, suspect, null)).toEqual({
      suspicion: {
        kit: { kind: "reference", serial: "demo-ref", entry: "ref-7" },
        good: "2025-01-12",
        bad: "2026-01-12",
        correction: {
          kind: "differences",
          table: [
            { at: 0, add: -0.01, u: 0.004 },
            { at: 150, add: 0.055, u: 0 },
          ],
        },
        course: { kind: "linear" },
        significant: 1 / 3,
        reason: "recalibration",
      },
      rehearsals: false,
    });
  });

  it("names the unit of a readout, and the revision that was wrong", () => {
    const readout = { ...suspect, kind: "readout" as const, units: ["Ω", "mV"] };
    const { suspicion } = questionOf({ ...draft, unit: "mV", revision: "1" }, readout, null);
    expect(suspicion).toMatchObject({ kit: { revision: 1 }, correction: { unit: "mV" } });
  });

  it.each<[string, Partial<Draft>]>([
    ["the day of the last good evidence", { good: "" }],
    ["the day on which it was found out", { bad: "" }],
    ["it was found out before its last good evidence: exchange the days", { bad: "2024-01-01" }],
    ["at least one row of what must be added", { rows: [emptyRow] }],
    ["numbers in row 1", { rows: [{ at: "x", add: "1", u: "" }] }],
    ["a standard uncertainty of 0 or more in row 1", { rows: [{ at: "0", add: "1", u: "-1" }] }],
    [
      "each place once",
      {
        rows: [
          { at: "0", add: "1", u: "" },
          { at: "0,0", add: "2", u: "" },
        ],
      },
    ],
    ["a reason, for the record", { reason: " " }],
    ["the revision that is right", { by: "revision", revision: "1" }],
    ["the revision that was wrong", { by: "revision", right: "2" }],
    ["two different revisions", { by: "revision", right: "2", revision: "2" }],
  ])("misses %s", (words, changes) => {
    expect(missingIn({ ...draft, ...changes }, suspect)).toEqual([words]);
  });

  it("misses the suspect before all else", () => {
    expect(missingIn({ ...draft, good: "" }, undefined)).toEqual(["choose what was found out"]);
  });
});

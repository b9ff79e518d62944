import { expect, describe, test } from "vitest";
import { failure, success } from "#fault";
import { writeTeds, type BroughtEntry } from "#intake";
import type { Job } from "#calibration";
import { decideReference, judgePlugged } from "./plugged-reference.ts";

type Reference = Extract<BroughtEntry, { kind: "reference" }>;

const reference = (changes: Partial<Reference["entry"]> = {}): Reference => ({
  kind: "reference",
  entry: {
    id: "pr-2207",
    revision: 1,
    description: "Reference probe",
    serial: "PR-2207",
    sensor: { kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
    unit: "Ω",
    range: { minimum: 0, maximum: 200 },
    calibration: {
      certificate: "NT-25-0977",
      laboratory: "Northgate Thermometry (demo)",
      date: "2025-03-11",
      due: "2026-03-11",
      uncertainty: 0.02,
      k: 2,
    },
    driftPerYear: 0.01,
    interpolation: 0,
    selfHeating: 0,
    ...changes,
  },
});

/** Only the kit of a job is looked at here. */
const job = { kit: { reference: { ...reference().entry, channel: "reference" } } } as Job;

const sheet = (serial: number) => {
  const basic = { manufacturer: 51, model: 11, versionLetter: "A", version: 1, serial };
  const teds = writeTeds({ basic, sections: [], text: "" });
  if (!teds.ok) throw new Error(teds.fault.message);
  return success({ kind: "data-sheet" as const, bytes: teds.value });
};

const serial = (text: string) => success({ kind: "serial" as const, serial: text });

describe("the plugged-in reference against the job's", () => {
  test("is the job's by its serial number, by the data sheet of the job's entry, or by that of the recorded one", () => {
    expect(judgePlugged(serial("pr-2207 "), job, [])).toMatchObject({ state: "expected", newer: null });
    expect(judgePlugged(sheet(7), job, [])).toMatchObject({ state: "another", known: null });
    const known = reference({ dataSheet: "51-11-A1-7" });
    expect(judgePlugged(sheet(7), job, [known])).toMatchObject({ state: "expected", newer: null });
  });

  test("brings its newest revision along, which is taken only when somebody says so", () => {
    const newest = reference({
      revision: 2,
      calibration: {
        ...reference().entry.calibration,
        certificate: "NT-26-1180",
        date: "2026-03-10",
        due: "2027-03-10",
      },
    });
    const plugged = judgePlugged(serial("PR-2207"), job, [newest]);
    expect(plugged).toMatchObject({ state: "expected", newer: { entry: { revision: 2 } } });
    expect(decideReference(plugged, job, undefined)).toEqual({ job, note: null });
    expect(decideReference(plugged, job, "plugged")).toMatchObject({
      job: { kit: { reference: { revision: 2, channel: "reference", calibration: { certificate: "NT-26-1180" } } } },
      note: expect.stringContaining("pr-2207 revision 2 is taken in place of the job's revision 1"),
    });
  });

  test("another, none or an unread one is never passed over in silence", () => {
    const other = reference({ id: "pr-1", serial: "PR-1" });
    const cases = [
      judgePlugged(serial("PR-1"), job, [other]),
      judgePlugged(serial("PR-9"), job, [other]),
      judgePlugged(success({ kind: "none" }), job, [other]),
      judgePlugged(failure("instrument.timeout", "It does not answer."), job, [other]),
      judgePlugged(success({ kind: "data-sheet", bytes: new Uint8Array(32) }), job, [other]),
    ];
    expect(cases.map(({ state }) => state)).toEqual(["another", "another", "none", "unread", "unread"]);
    for (const plugged of cases) {
      expect(() => decideReference(plugged, job, undefined)).toThrow(
        expect.objectContaining({ code: "kit.another-probe" }),
      );
      expect(decideReference(plugged, job, "job").note).toContain("said to be the job's probe all the same");
    }
    expect(decideReference(cases[0]!, job, "plugged").job.kit.reference).toMatchObject({
      id: "pr-1",
      channel: "reference",
    });
    expect(() => decideReference(cases[1]!, job, "plugged")).toThrow("no kit entry is known by that");
  });

  test("one that is read in another unit cannot take the place", () => {
    const other = reference({ id: "tc-1", serial: "TC-1", unit: "mV" });
    expect(() => decideReference(judgePlugged(serial("TC-1"), job, [other]), job, "plugged")).toThrow(
      "cannot take the place",
    );
  });

  test("a readout that cannot say changes nothing", () => {
    expect(decideReference(judgePlugged(null, job, []), job, undefined)).toEqual({ job, note: null });
  });
});

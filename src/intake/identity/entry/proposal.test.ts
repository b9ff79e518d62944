import { describe, expect, test } from "vitest";
import type { Brought } from "../brought.ts";
import { bytesOf, certificate, coefficients, points } from "../fixtures/certificate.test-support.ts";
import { readout, reference } from "../fixtures/entries.test-support.ts";
import { writeLabelCode } from "../label/label-code.ts";
import { readIdentity } from "../read-identity.ts";
import { writeTeds } from "../teds/write-teds.ts";
import { matchingEntry } from "./matching-entry.ts";
import { propose } from "./proposal.ts";

const today = "2026-04-01";

const brought = (text: string | Uint8Array): Brought => {
  const read = readIdentity(typeof text === "string" ? bytesOf(text) : text);
  if (!read.ok) throw new Error(read.fault.message);
  return read.value[0]!;
};

const state = (proposal: ReturnType<typeof propose>, what: string): string | undefined =>
  proposal.checks.find((check) => check.what === what)?.state;

describe("a certificate for a known reference", () => {
  const proposal = propose({ brought: brought(certificate()), entries: [reference(), readout], today });

  test("becomes its next revision, with what the certificate does not say kept", () => {
    expect(proposal).toMatchObject({ by: "serial", missing: [], approvable: true });
    expect(proposal.entry).toMatchObject({
      kind: "reference",
      entry: {
        id: "pr-2207",
        sensor: { r0: 100.0113 },
        driftPerYear: 0.01,
        diameter: 6,
        calibration: {
          certificate: "NT-26-1180",
          date: "2026-03-10",
          due: "2027-03-10",
          k: 2,
          accreditation: "demo 0000",
        },
      },
    });
  });

  test("the covariance of the earlier coefficients does not stay with new ones", () => {
    expect(proposal.entry?.kind === "reference" && proposal.entry.entry.calibration.coefficients).toBeUndefined();
    expect(proposal.notes.join(" ")).toContain("covariance");
  });

  test("every check holds and says what it looked at", () => {
    expect(proposal.checks.map(({ what, state }) => [what, state])).toEqual([
      ["identity", "holds"],
      ["check-values", "holds"],
      ["points", "holds"],
      ["range", "holds"],
      ["uncertainty", "holds"],
      ["validity", "holds"],
    ]);
  });

  test("differences are shown digit by digit, and what they change in K", () => {
    const r0 = proposal.differences.find(({ path }) => path === "sensor.r0");
    expect(r0).toMatchObject({ before: "100.0109", after: "100.0113", from: 6 });
    expect(r0?.change).toBeCloseTo(0.0004, 10);
    expect(proposal.differences.map(({ path }) => path)).not.toContain("driftPerYear");
    // 0.4 mΩ more at the same temperature over 0.39 Ω/°C: the same signal means about 1 mK less.
    expect(proposal.effects[0]).toMatchObject({ temperature: 0.01 });
    expect(proposal.effects[0]!.kelvin).toBeCloseTo(-0.0004 / 0.39086, 5);
  });
});

describe("what stops an approval", () => {
  test("a digit that the check values and the points do not bear", () => {
    const proposal = propose({
      brought: brought(certificate({ coefficients: coefficients("3.92812E-3") })),
      entries: [reference()],
      today,
    });
    expect([state(proposal, "check-values"), state(proposal, "points"), proposal.approvable]).toEqual([
      "fails",
      "fails",
      false,
    ]);
    expect(proposal.checks.find(({ what }) => what === "check-values")?.words).toContain("digit");
  });

  test.each([
    ["a day still to come", "2026-03-01", "fails"],
    ["a day after the due day", "2027-03-11", "caution"],
    ["the due day", "2027-03-10", "holds"],
  ])("%s: validity", (_, today, expected) => {
    expect(state(propose({ brought: brought(certificate()), entries: [reference()], today }), "validity")).toBe(
      expected,
    );
  });

  test("another serial number than the entry that it is said to be", () => {
    const proposal = propose({
      brought: brought(certificate().replace("PR-2207", "PR-2208")),
      entries: [reference()],
      today,
      is: "pr-2207",
    });
    expect([state(proposal, "identity"), proposal.approvable]).toEqual(["fails", false]);
  });

  test("nothing new", () => {
    const first = propose({ brought: brought(certificate()), entries: [reference()], today });
    const again = propose({ brought: brought(certificate()), entries: [first.entry!], today });
    expect(again).toMatchObject({ unchanged: true, approvable: false, differences: [] });
  });

  test("an older calibration than the recorded one is a caution, not a stop", () => {
    const newer = reference({
      calibration: { ...reference().entry.calibration, date: "2026-03-20", due: "2027-03-20" },
    });
    const proposal = propose({ brought: brought(certificate()), entries: [newer], today });
    expect([state(proposal, "revision"), proposal.approvable]).toEqual(["caution", true]);
  });

  test("a range to which the coefficients do not reach", () => {
    const proposal = propose({
      brought: brought(certificate()),
      entries: [reference()],
      today,
      answers: { maximum: 2000 },
    });
    expect([state(proposal, "range"), proposal.approvable]).toEqual(["fails", false]);
  });
});

describe("a new probe", () => {
  test("asks for what no certificate says, and for nothing else", () => {
    const proposal = propose({ brought: brought(certificate()), entries: [readout], today });
    expect(proposal).toMatchObject({
      known: null,
      entry: null,
      missing: [{ field: "driftPerYear" }],
      approvable: false,
    });
    const answered = propose({
      brought: brought(certificate()),
      entries: [readout],
      today,
      answers: { driftPerYear: 0.005 },
    });
    expect(answered).toMatchObject({
      approvable: true,
      entry: { entry: { id: "pr-2207", serial: "PR-2207", unit: "Ω" } },
    });
    expect(state(answered, "identity")).toBe("caution");
  });

  test("a certificate without uncertainty asks for it even when the known entry has one: it belongs to the old calibration", () => {
    const bare = points.replaceAll(
      /<si:measurementUncertaintyUnivariateXMLList>[\s\S]*?<\/si:measurementUncertaintyUnivariateXMLList>/g,
      "",
    );
    const proposal = propose({ brought: brought(certificate({ points: bare })), entries: [reference()], today });
    expect(proposal.missing.map(({ field }) => field)).toEqual(["uncertainty", "k"]);
    const answered = propose({
      brought: brought(certificate({ points: bare })),
      entries: [reference()],
      today,
      answers: { uncertainty: 0.015 },
    });
    expect(answered.entry).toMatchObject({ entry: { calibration: { uncertainty: 0.015, k: 2 } } });
  });

  test("figures that no entry can have are refused, and said", () => {
    const proposal = propose({ brought: brought(certificate()), entries: [], today, answers: { driftPerYear: -1 } });
    expect(proposal.entry).toBeNull();
    expect(proposal.notes.join(" ")).toContain("makes no kit entry");
  });
});

describe("a data sheet", () => {
  const image = (r0: number): Uint8Array => {
    const written = writeTeds({
      basic: { manufacturer: 51, model: 2207, versionLetter: "B", version: 3, serial: 90_117 },
      sections: [
        {
          template: 37,
          values: {
            minimum: 0,
            maximum: 200,
            curve: "coefficients",
            r0,
            a: 3.90812e-3,
            b: -5.7913e-7,
            c: -4.2735e-12,
            current: null,
            response: null,
            calibrated: "2025-03-11",
            initials: "NT",
            period: 365,
            location: 0,
          },
        },
      ],
      text: "",
    });
    if (!written.ok) throw new Error(written.fault.message);
    return written.value;
  };

  test("is another number than the serial: a person says which entry, and from then on it is known", () => {
    const first = propose({ brought: brought(image(100.0109)), entries: [reference()], today: "2025-04-01" });
    expect(first.known).toBeNull();
    const said = propose({
      brought: brought(image(100.0109)),
      entries: [reference()],
      today: "2025-04-01",
      is: "pr-2207",
    });
    expect(said).toMatchObject({ approvable: true, differences: [{ path: "dataSheet", after: "51-2207-B3-90117" }] });
    expect(said.notes.join(" ")).toContain("seven digits");
    expect(matchingEntry(brought(image(100.0109)), [said.entry!, readout])).toMatchObject({ by: "data-sheet" });
  });

  test("other coefficients of the same calibration are shown; the entry's check values and covariance do not stay", () => {
    const proposal = propose({
      brought: brought(image(100.0209)),
      entries: [reference()],
      today: "2025-04-01",
      is: "pr-2207",
    });
    expect(proposal.differences.map(({ path }) => path)).toContain("sensor.r0");
    expect(state(proposal, "check-values")).toBe("caution");
  });
});

describe("a label and a readout's certificate", () => {
  test("a label brings its entry as it is; of one that is recorded nothing changes", () => {
    const code = writeLabelCode(reference());
    if (!code.ok) throw new Error(code.fault.message);
    expect(propose({ brought: brought(code.value), entries: [reference()], today })).toMatchObject({
      unchanged: true,
      by: "serial",
    });
    expect(propose({ brought: brought(code.value), entries: [], today })).toMatchObject({
      approvable: true,
      entry: reference(),
    });
  });

  test("of a readout's certificate the number and the days are taken", () => {
    const text = certificate().replace("PR-2207", "TR-1180");
    expect(propose({ brought: brought(text), entries: [reference(), readout], today })).toMatchObject({
      approvable: true,
      entry: {
        kind: "readout",
        entry: { accuracy: readout.entry.accuracy, calibration: { certificate: "NT-26-1180", due: "2027-03-10" } },
      },
    });
  });

  test("two entries with one serial number are not chosen between", () => {
    expect(matchingEntry(brought(certificate()), [reference(), reference({ id: "another" })])).toBeNull();
  });
});

describe("forms are told by their content", () => {
  test.each([
    ["words", "hello there", "neither"],
    ["nothing", "", "empty"],
    ["bytes", Uint8Array.from([1, 2, 3]), "cut short"],
  ])("%s are refused", (_, content, words) => {
    expect(readIdentity(typeof content === "string" ? bytesOf(content) : content)).toMatchObject({
      ok: false,
      fault: { message: expect.stringContaining(words) },
    });
  });

  test("a data sheet may be written in hexadecimal or base 64", () => {
    const bytes = Uint8Array.from([0x33, 0xc0, 0x27, 0x4e, 0x0c, 5, 0x60, 1]);
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join(" ");
    const read = readIdentity(bytes);
    expect(read.ok).toBe(true);
    expect(readIdentity(bytesOf(hex))).toEqual(read);
    expect(readIdentity(bytesOf(Buffer.from(bytes).toString("base64")))).toEqual(read);
  });
});

import { evaluate, type RunEvent } from "#calibration";
import { Fault, type Outcome } from "#fault";
import { canonicalText, type Json } from "../canonical-json.ts";
import { certificateDocument } from "../certificate-document.ts";
import { kelvinText } from "../kelvin-text.ts";
import type { CertificateDocument } from "../model.ts";
import { compareResults, placeOf, type VerifyDifference } from "./compare-results.ts";
import { sha256Hex, utf8 } from "./sha256.ts";
import { statedCertificate, type StatedCertificate } from "./stated-certificate.ts";
import { readXml } from "./xml-tree.ts";

/** One thing that was looked at. */
export interface VerifyFinding {
  /** `unknown`: it could not be looked at, and the words say what is missing. */
  readonly state: "holds" | "fails" | "unknown";
  readonly words: string;
}

export interface VerifyReport {
  /** `holds` only where the log was given and every figure agrees; `unproven` where no log was given and nothing speaks against it. */
  readonly verdict: "holds" | "unproven" | "fails";
  readonly findings: readonly VerifyFinding[];
  readonly differences: readonly VerifyDifference[];
  /** Figures that were compared with the log. */
  readonly compared: number;
  /** What the certificate states; null where the XML is none. */
  readonly certificate: StatedCertificate | null;
}

export interface VerifyInput {
  readonly xml: string;
  /** The run log; without it only what the XML says of itself can be looked at. */
  readonly log?: readonly RunEvent[] | undefined;
}

/** SHA-256 of a run log as `logHash` gives it, worked out without a platform. */
const hashOf = (log: readonly RunEvent[]): string =>
  sha256Hex(utf8(log.map((event) => `${canonicalText(event as unknown as Json)}\n`).join("")));

/** What an XML says of one figure twice must agree: each temperature in kelvin and in degrees Celsius. */
const innerDifferences = (certificate: StatedCertificate): readonly VerifyDifference[] =>
  certificate.results.flatMap((result) =>
    result.lists.flatMap((list) => {
      const kelvin = result.lists.find(({ name }) => name === `${list.name} in kelvin`);
      if (kelvin === undefined) return [];
      return list.values.flatMap((value, at) => {
        const made = /^-?\d+(?:\.\d+)?$/.test(value) ? kelvinText(value) : value;
        const stated = kelvin.values[at] ?? "nothing";
        return made === stated
          ? []
          : [{ where: placeOf(certificate, result), what: `${list.name} in kelvin`, stated, recomputed: made }];
      });
    }),
  );

const plainFact = (what: string, stated: string, made: string): readonly VerifyDifference[] =>
  stated === made ? [] : [{ where: "certificate", what, stated: stated || "nothing", recomputed: made || "nothing" }];

/** Plain facts that the log fixes. Texts that an amendment may put right are left out where it is one. */
const factDifferences = (
  certificate: StatedCertificate,
  document: CertificateDocument,
): readonly VerifyDifference[] => [
  ...plainFact("run", certificate.run, document.record.run),
  ...plainFact("job", certificate.job, document.record.job),
  ...plainFact("first day of the calibration", certificate.begun, document.dates.begun),
  ...plainFact("last day of the calibration", certificate.ended, document.dates.ended),
  ...plainFact(
    "items",
    certificate.items.map(({ item }) => item).join(", "),
    document.items.map(({ item }) => item).join(", "),
  ),
  ...(certificate.replaces === null
    ? [
        ...plainFact("laboratory", certificate.laboratory, document.laboratory.name.trim()),
        ...plainFact("customer", certificate.customer, document.customer.name.trim()),
        ...plainFact(
          "tags",
          certificate.items.map(({ tag }) => tag).join(", "),
          document.items.map(({ tag }) => tag.trim()).join(", "),
        ),
        ...plainFact(
          "serial numbers",
          certificate.items.map(({ serial }) => serial).join(", "),
          document.items.map(({ serial }) => serial.trim()).join(", "),
        ),
      ]
    : []),
];

const evaluated = (
  certificate: StatedCertificate,
  log: readonly RunEvent[],
  hash: string,
): Outcome<CertificateDocument> => {
  try {
    const result = evaluate(log);
    const issued = { number: certificate.number, date: certificate.issued };
    return { ok: true, value: certificateDocument({ log, result, issued, language: "en", logHash: hash, fit: true }) };
  } catch (thrown) {
    if (thrown instanceof Fault) return { ok: false, fault: thrown };
    throw thrown;
  }
};

const failed = (words: string, certificate: StatedCertificate | null = null): VerifyReport => ({
  verdict: "fails",
  findings: [{ state: "fails", words }],
  differences: [],
  compared: 0,
  certificate,
});

const noLog: VerifyFinding = {
  state: "unknown",
  words:
    "The run log was not given, so the figures could not be worked out again. Give the log whose hash the certificate names.",
};

const counted = (count: number, one: string, many: string): string => (count === 1 ? `One ${one}` : `${count} ${many}`);

const withLog = (
  certificate: StatedCertificate,
  log: readonly RunEvent[],
  inner: readonly VerifyDifference[],
): VerifyReport => {
  const hash = hashOf(log);
  const sameLog: VerifyFinding =
    hash === certificate.logHash
      ? { state: "holds", words: "The log is the one that the certificate names: its SHA-256 agrees." }
      : {
          state: "fails",
          words: `The log is not the one that the certificate names, or it was changed: its SHA-256 is ${hash}, and the certificate says ${certificate.logHash}.`,
        };
  const document = evaluated(certificate, log, hash);
  if (!document.ok)
    return {
      ...failed(document.fault.message, certificate),
      findings: [sameLog, { state: "fails", words: document.fault.message }],
    };
  const figures = compareResults(certificate, document.value);
  const differences = [...inner, ...factDifferences(certificate, document.value), ...figures.differences];
  const agreement: VerifyFinding =
    differences.length === 0
      ? {
          state: "holds",
          words: `${figures.compared} figures were worked out again from the log, and every digit agrees.`,
        }
      : {
          state: "fails",
          words: `${counted(differences.length, "thing differs", "things differ")} from what the log gives (${figures.compared} figures were worked out again).`,
        };
  const findings = [sameLog, agreement];
  return {
    verdict: findings.every(({ state }) => state === "holds") ? "holds" : "fails",
    findings,
    differences,
    compared: figures.compared,
    certificate,
  };
};

/**
 * Holds the XML of a certificate against its run log: the log must be the one whose hash it names, and every figure, decision
 * and limit that it states must come out of the log again, digit by digit. Without a log only what the XML says twice can be
 * compared. It judges the XML; that the pages of a PDF say the same is for the eye, or for a PDF written anew.
 * What is wrong is told in the report; it throws for nothing that stands in its input.
 */
export const verifyCertificate = ({ xml, log }: VerifyInput): VerifyReport => {
  const tree = readXml(xml);
  if (!tree.ok) return failed(tree.fault.message);
  const stated = statedCertificate(tree.value);
  if (!stated.ok) return failed(stated.fault.message);
  const certificate = stated.value;
  const inner = innerDifferences(certificate);
  if (log !== undefined) return withLog(certificate, log, inner);
  const figures = certificate.results.flatMap(({ lists }) => lists).reduce((sum, { values }) => sum + values.length, 0);
  const itself: VerifyFinding =
    inner.length === 0
      ? { state: "holds", words: `The XML agrees with itself (${figures} figures).` }
      : { state: "fails", words: `The XML contradicts itself: ${counted(inner.length, "figure", "figures")}.` };
  return {
    verdict: inner.length === 0 ? "unproven" : "fails",
    findings: [itself, noLog],
    differences: inner,
    compared: 0,
    certificate,
  };
};

import { promisify } from "node:util";
import { inflate } from "node:zlib";
import type { RunEvent } from "#calibration";
import { attachedFile, verifyCertificate, type VerifyReport } from "#certificates";

const unpack = promisify(inflate);

/** What holds of a certificate, from its XML. */
export interface CertificateCheck {
  readonly what: "certificate";
  readonly holds: boolean;
  readonly report: VerifyReport | null;
  readonly breaks: readonly { readonly sentence: string }[];
  readonly remarks: readonly string[];
}

/** The XML of a certificate that is an XML, or a PDF with one attached. */
const xmlOf = async (bytes: Uint8Array): Promise<{ readonly xml: string } | { readonly refused: string }> => {
  if (Buffer.from(bytes.subarray(0, 5)).toString("latin1") !== "%PDF-")
    return { xml: Buffer.from(bytes).toString("utf8") };
  const taken = await attachedFile(bytes, "certificate.xml", async (packed) => unpack(packed));
  return taken.ok ? { xml: Buffer.from(taken.value).toString("utf8") } : { refused: taken.fault.message };
};

const checkOf = (report: VerifyReport): CertificateCheck => {
  const failed = report.findings.filter(({ state }) => state === "fails").map(({ words }) => ({ sentence: words }));
  const differences = report.differences.map(({ where, what, stated, recomputed }) => ({
    sentence: `${where}: ${what} is stated as ${stated}; the log gives ${recomputed}.`,
  }));
  return {
    what: "certificate",
    holds: report.verdict !== "fails",
    report,
    breaks: [...failed, ...differences],
    remarks: report.findings.filter(({ state }) => state === "unknown").map(({ words }) => words),
  };
};

/**
 * Checks a certificate: what it says of itself, and against the log that it was issued on where that is among `logs`; every
 * figure is then worked out anew and compared digit by digit.
 */
export const verifyCertificateFile = async (
  bytes: Uint8Array,
  logs: readonly { readonly sha256: string; readonly log: readonly RunEvent[] }[],
): Promise<CertificateCheck> => {
  const taken = await xmlOf(bytes);
  if ("refused" in taken) {
    const none = { what: "certificate", holds: false, report: null, remarks: [] } as const;
    return { ...none, breaks: [{ sentence: taken.refused }] };
  }
  const { xml } = taken;
  const alone = verifyCertificate({ xml });
  // Only a log that the certificate names is its own; where there is but one, it is meant, and is told to differ.
  const own = logs.find(({ sha256 }) => xml.includes(sha256)) ?? (logs.length === 1 ? logs[0] : undefined);
  return checkOf(own === undefined ? alone : verifyCertificate({ xml, log: own.log }));
};

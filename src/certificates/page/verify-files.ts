import { parseLog, type RunEvent } from "#calibration";
import { Fault } from "#fault";
import { attachedFile, type Inflate } from "../document/verify/attached-file.ts";
import { verifyCertificate, type VerifyReport } from "../document/verify/verify-certificate.ts";

/** A file that somebody gave. */
export interface GivenFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

type Known = "pdf" | "xml" | "log" | "unknown";

export interface VerifiedFiles {
  /** What each file was taken for, in the order given. */
  readonly files: readonly { readonly name: string; readonly taken: string }[];
  /** Null where no certificate was given; `trouble` says what is missing. */
  readonly report: VerifyReport | null;
  readonly trouble: string | null;
}

const textOf = (bytes: Uint8Array): string => new TextDecoder("utf-8", { ignoreBOM: false }).decode(bytes);

/** What a file is, by its content and not by its name. */
const kindOf = ({ bytes }: GivenFile): Known => {
  const head = textOf(bytes.subarray(0, 4096)).trimStart();
  if (head.startsWith("%PDF-")) return "pdf";
  if (head.startsWith("<")) return "xml";
  return head.startsWith("{") ? "log" : "unknown";
};

const words: Readonly<Record<Known, string>> = {
  pdf: "a certificate as PDF",
  xml: "a certificate as XML",
  log: "a run log",
  unknown: "nothing that this page knows",
};

const readLog = (bytes: Uint8Array): readonly RunEvent[] | string => {
  try {
    return parseLog(textOf(bytes).split("\n"));
  } catch (thrown) {
    if (thrown instanceof Fault) return thrown.message;
    throw thrown;
  }
};

const failed = (message: string): VerifyReport => ({
  verdict: "fails",
  findings: [{ state: "fails", words: message }],
  differences: [],
  compared: 0,
  certificate: null,
});

const xmlOf = async (
  file: GivenFile,
  inflate: Inflate,
): Promise<{ readonly xml: string } | { readonly report: VerifyReport }> => {
  if (kindOf(file) === "xml") return { xml: textOf(file.bytes) };
  const taken = await attachedFile(file.bytes, "certificate.xml", inflate);
  return taken.ok ? { xml: textOf(taken.value) } : { report: failed(taken.fault.message) };
};

/**
 * Holds a certificate against its log, both given as files in any order: PDF or XML, and JSON Lines. Where both PDF and XML are
 * given they must hold the same data.
 */
export const verifyFiles = async (given: readonly GivenFile[], inflate: Inflate): Promise<VerifiedFiles> => {
  const kinds = given.map((file) => ({ file, kind: kindOf(file) }));
  const files = kinds.map(({ file, kind }) => ({ name: file.name, taken: words[kind] }));
  const certificates = kinds.filter(({ kind }) => kind === "pdf" || kind === "xml");
  const logs = kinds.filter(({ kind }) => kind === "log");
  const [first] = certificates;
  if (first === undefined) return { files, report: null, trouble: "Give a certificate, as PDF or XML." };
  if (logs.length > 1)
    return { files, report: null, trouble: "Give one log only: the one that the certificate names." };
  const taken = await Promise.all(certificates.map(({ file }) => xmlOf(file, inflate)));
  const broken = taken.find((each) => "report" in each);
  if (broken !== undefined && "report" in broken) return { files, report: broken.report, trouble: null };
  const xmls = new Set(taken.flatMap((each) => ("xml" in each ? [each.xml] : [])));
  const [xml = ""] = xmls;
  if (xmls.size > 1) return { files, report: failed("The PDF and the XML do not hold the same data."), trouble: null };
  const log = logs[0] === undefined ? undefined : readLog(logs[0].file.bytes);
  if (typeof log === "string") return { files, report: failed(`The log cannot be read. ${log}`), trouble: null };
  return { files, report: verifyCertificate({ xml, log }), trouble: null };
};

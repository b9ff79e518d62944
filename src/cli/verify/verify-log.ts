import { evaluate, parseLog, type RunEvent, type RunOpened } from "#calibration";
import { logHash } from "#certificates";
import { Fault } from "#fault";
import { canonicalJson } from "#records";

/** What holds of a run log on its own. */
export interface LogCheck {
  readonly what: "log";
  readonly holds: boolean;
  readonly run: string | null;
  readonly lines: number;
  /** SHA-256 of its canonical lines: what its certificate states. */
  readonly sha256: string | null;
  readonly breaks: readonly { readonly line: number | null; readonly sentence: string }[];
  readonly remarks: readonly string[];
}

const alone =
  "A log alone cannot say that it is the one that was recorded: give its certificate, or the ledger, beside it.";

const broken = (thrown: unknown): LogCheck["breaks"][number] => {
  if (!(thrown instanceof Fault)) throw thrown;
  const { line } = (thrown.data ?? {}) as { line?: unknown };
  return { line: typeof line === "number" ? line : null, sentence: thrown.message };
};

/** The first line that is not as a log writes it: another order of fields, spaces, a digit that means nothing. */
const notCanonical = (lines: readonly string[], log: readonly RunEvent[]): number | null => {
  const at = log.findIndex((event, index) => canonicalJson(event) !== lines[index]);
  return at < 0 ? null : at + 1;
};

/** Reads a log, follows its lines, and evaluates it. Answers what holds, and the log where it can be read. */
export const verifyLog = (bytes: Buffer): { readonly check: LogCheck; readonly log: readonly RunEvent[] | null } => {
  const text = bytes.toString("utf8");
  const lines = text.split("\n");
  const none = { what: "log", holds: false, run: null, sha256: null, remarks: [] } as const;
  let log: RunEvent[];
  try {
    log = parseLog(lines);
  } catch (thrown) {
    return { check: { ...none, lines: lines.length - 1, breaks: [broken(thrown)] }, log: null };
  }
  const breaks: LogCheck["breaks"][number][] = [];
  if (lines.at(-1) !== "") breaks.push({ line: log.length, sentence: "The last line has no line feed behind it." });
  if (!Buffer.from(text, "utf8").equals(bytes))
    breaks.push({ line: null, sentence: "There are bytes in it that are no text (UTF-8)." });
  const other = notCanonical(lines, log);
  if (other !== null)
    breaks.push({
      line: other,
      sentence: `Line ${other} is not written as a log is: its fields or digits were touched.`,
    });
  const remarks = [alone];
  try {
    evaluate(log);
  } catch (thrown) {
    remarks.push(`It cannot be evaluated: ${broken(thrown).sentence}`);
  }
  const { run } = log[0] as RunOpened;
  const check = { what: "log", holds: breaks.length === 0, run, lines: log.length, sha256: logHash(log) } as const;
  return { check: { ...check, breaks, remarks }, log };
};

import { readFile } from "node:fs/promises";
import { Fault } from "#fault";
import { checkPlace, recordsPlace } from "#records";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { verifyCertificateFile } from "../verify/verify-certificate-file.ts";
import { verifyLog } from "../verify/verify-log.ts";
import { readWords } from "../words.ts";

const help = `
dwellpoint verify FILE…

Says what holds and what does not, of any of these:

  a data folder       its ledger, the logs and certificates that this names by hash, and every list; also while it is in use
  a backup            the same; and each byte of the file where FILE.sha256 stands beside it
  an export           the same, from its files; each file against the manifest
  ledger.jsonl        the ledger alone
  a run log           its lines, one by one; whether it can be evaluated
  a certificate       PDF or XML: what it says of itself. With the log that it was issued on among the files, every figure is
                      worked out anew from the readings and compared digit by digit

Prints one line of JSON a file: {"file","what","holds","breaks":[{"sentence",…}],"remarks",…}. A break names the entry of the
ledger, the line of the log or the figure; "holding" says which entries still join on to one another. Any changed, removed,
added or moved byte of a record breaks. The exit code is 1 when anything does not hold.
`;

const readBytes = async (file: string): Promise<Buffer> => {
  try {
    return await readFile(file);
  } catch (thrown) {
    const code = thrown instanceof Error && "code" in thrown ? String(thrown.code) : "";
    throw new Fault("input.invalid", `${file} cannot be read (${code}). Give the path of a file that is there.`, {
      data: { file },
      cause: thrown,
    });
  }
};

/** A file that is no place of records: a certificate, or else a log. */
type Lone = { readonly file: string; readonly bytes: Buffer; readonly certificate: boolean };

const isCertificate = (bytes: Buffer): boolean => /^(?:%PDF-|\s*(?:\uFEFF)?<)/.test(bytes.toString("utf8", 0, 64));

interface Answer {
  readonly file: string;
  readonly holds: boolean;
}

const run = async (words: readonly string[], { stdout }: Surroundings): Promise<ExitCode> => {
  const { positionals: files } = readWords("verify", words, {});
  if (files.length === 0)
    throw new Fault("usage.wrong", "verify wants a file or folder. dwellpoint verify --help tells what it takes.");
  const answers = new Map<string, Answer & object>();
  const lone: Lone[] = [];
  for (const file of files) {
    const what = await recordsPlace(file);
    if (what !== null) {
      answers.set(file, { file, ...(await checkPlace(file, what)) });
      continue;
    }
    const bytes = await readBytes(file);
    lone.push({ file, bytes, certificate: isCertificate(bytes) });
  }
  const logs: { sha256: string; log: NonNullable<ReturnType<typeof verifyLog>["log"]> }[] = [];
  for (const { file, bytes } of lone.filter(({ certificate }) => !certificate)) {
    const { check, log } = verifyLog(bytes);
    answers.set(file, { file, ...check });
    if (log !== null && check.sha256 !== null) logs.push({ sha256: check.sha256, log });
  }
  for (const { file, bytes } of lone.filter(({ certificate }) => certificate)) {
    const check = await verifyCertificateFile(bytes, logs);
    answers.set(file, { file, ...check });
  }
  for (const file of files) stdout.write(`${JSON.stringify(answers.get(file))}\n`);
  return [...answers.values()].every(({ holds }) => holds) ? 0 : 1;
};

export const verify: Command = {
  name: "verify",
  summary: "a log, certificate, ledger, backup or data folder: what holds, and what does not",
  help,
  run,
};

import { Fault } from "#fault";
import { restoreBackup } from "#records";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { readWords } from "../words.ts";

const help = `
dwellpoint restore FILE --data DIR

Puts a backup in place as the records of a folder that has none. The whole backup is checked first, as dwellpoint verify does
it; from one that does not hold nothing is restored. The ledger goes on where the backup ended, with an entry that says so.

  --data DIR   the folder; made where it does not exist

Prints {"data","station","entries","head","runs","certificates"}.
`;

const run = async (words: readonly string[], { stdout }: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("restore", words, { data: { type: "string" } });
  const [file, ...more] = positionals;
  if (file === undefined || more.length > 0 || values.data === undefined)
    throw new Fault(
      "usage.wrong",
      "restore wants one backup, and --data DIR. dwellpoint restore --help tells what it takes.",
    );
  const { station, entries, head, runs, certificates } = await restoreBackup(file, values.data);
  const counted = { runs: runs.length, certificates: new Set(certificates.map(({ number }) => number)).size };
  stdout.write(`${JSON.stringify({ data: values.data, station, entries, head, ...counted })}\n`);
  return 0;
};

export const restore: Command = {
  name: "restore",
  summary: "a backup to the records of an empty folder, checked first",
  help,
  run,
};

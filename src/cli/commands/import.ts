import { Fault } from "#fault";
import { importExport } from "#records";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { readWords } from "../words.ts";

const help = `
dwellpoint import FOLDER --data DIR

Makes records of an export (dwellpoint export) in a folder that has none: the ledger entry by entry with its hashes, the logs
and the certificates; all lists are worked out anew from them. Nothing is taken from an export that does not hold. The ledger
goes on from there, with an entry that says so.

  --data DIR   the folder; made where it does not exist

Prints {"data","station","entries","head","runs","certificates"}.
`;

const run = async (words: readonly string[], { stdout }: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("import", words, { data: { type: "string" } });
  const [folder, ...more] = positionals;
  if (folder === undefined || more.length > 0 || values.data === undefined)
    throw new Fault(
      "usage.wrong",
      "import wants one export, and --data DIR. dwellpoint import --help tells what it takes.",
    );
  const { station, entries, head, runs, certificates } = await importExport(folder, values.data);
  const counted = { runs: runs.length, certificates: new Set(certificates.map(({ number }) => number)).size };
  stdout.write(`${JSON.stringify({ data: values.data, station, entries, head, ...counted })}\n`);
  return 0;
};

export const importCommand: Command = {
  name: "import",
  summary: "an export to the records of an empty folder, its chain intact",
  help,
  run,
};

import { Fault } from "#fault";
import { backupFolder } from "#records";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { chooseDataFolder } from "../serve/data-folder.ts";
import { readWords } from "../words.ts";

const help = `
dwellpoint backup --to FILE [--data DIR]

Copies the records of a station to one file, while the station goes on or while it is stopped. Beside it FILE.sha256 is
written, in the form of sha256sum. The file appears when it is whole and on the disk; one that is there is never written over.

  --to FILE    the backup
  --data DIR   folder of the records; where it is left out: DWELLPOINT_DATA, else the user's data folder

Prints {"file","bytes","station","entries","head"}: how many entries of the ledger it holds, and the hash of the last.
dwellpoint verify FILE checks it; dwellpoint restore FILE puts it in place.
`;

const run = async (words: readonly string[], { stdout, environment, home }: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("backup", words, { data: { type: "string" }, to: { type: "string" } });
  if (positionals.length > 0 || values.to === undefined)
    throw new Fault("usage.wrong", "backup wants --to FILE. dwellpoint backup --help tells what it takes.");
  const folder = chooseDataFolder({ word: values.data, demo: false, environment, home });
  stdout.write(`${JSON.stringify(await backupFolder(folder, values.to))}\n`);
  return 0;
};

export const backup: Command = {
  name: "backup",
  summary: "the records of a station to one file, while it goes on",
  help,
  run,
};

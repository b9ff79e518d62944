import { Fault } from "#fault";
import { exportFolder } from "#records";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { chooseDataFolder } from "../serve/data-folder.ts";
import { readWords } from "../words.ts";

const help = `
dwellpoint export --to FOLDER [--data DIR]

Writes all that the records hold as open files: the ledger and the logs as JSON Lines, readings and lists as CSV, certificates
as PDF and XML, and a manifest with the SHA-256 of each. The station may go on meanwhile. The folder appears when it is whole.

  --to FOLDER  a folder that is not there yet, or is empty
  --data DIR   folder of the records; where it is left out: DWELLPOINT_DATA, else the user's data folder

Prints {"station","entries","head","runs","certificates","files"}. dwellpoint verify FOLDER checks it; dwellpoint import
FOLDER makes records of it elsewhere.
`;

const run = async (words: readonly string[], { stdout, environment, home }: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("export", words, { data: { type: "string" }, to: { type: "string" } });
  if (positionals.length > 0 || values.to === undefined)
    throw new Fault("usage.wrong", "export wants --to FOLDER. dwellpoint export --help tells what it takes.");
  const folder = chooseDataFolder({ word: values.data, demo: false, environment, home });
  stdout.write(`${JSON.stringify(await exportFolder(folder, values.to))}\n`);
  return 0;
};

export const exportCommand: Command = {
  name: "export",
  summary: "all records as open files: JSON Lines, CSV, PDF, XML",
  help,
  run,
};

import { unwrap } from "#fault";
import { openRecords } from "#records";
import { keepUpkeep } from "#station";
import type { ExitCode, Surroundings } from "../command.ts";
import { readUpkeepDocument } from "./upkeep-file.ts";

export interface KeepWanted {
  readonly file: string;
  readonly data: string;
  readonly approve: { readonly by: string; readonly reason: string } | null;
}

/** Keeps a document in the records; with an approval its outcome becomes the kit entry's next revision. */
export const keepDocument = async (
  { stdout }: Surroundings,
  { file, data, approve }: KeepWanted,
): Promise<ExitCode> => {
  const document = await readUpkeepDocument(file);
  const records = await openRecords(data);
  try {
    const kept = unwrap(await keepUpkeep(records, document, approve));
    stdout.write(`${JSON.stringify(kept)}\n`);
    return 0;
  } finally {
    await records.close();
  }
};

import { createHash } from "node:crypto";
import { canonicalJson } from "../chain/canonical-json.ts";
import { checkRecords } from "../verify/check-records.ts";
import type { RecordsBreak, RecordsCheck } from "../verify/source.ts";
import { wholeFile, type ExportFiles } from "./export-files.ts";
import { exportNames, ExportSource } from "./export-source.ts";

export const exportFormat = "dwellpoint-export/1";

interface Manifest {
  readonly format: string;
  readonly station: string;
  readonly entries: number;
  readonly head: string;
  readonly files: Readonly<Record<string, string>>;
}

const readManifest = async (files: ExportFiles): Promise<Manifest | null> => {
  try {
    const bytes = await wholeFile(files, exportNames.manifest);
    const manifest = JSON.parse(bytes.toString("utf8")) as Manifest;
    const same = Buffer.from(`${canonicalJson(manifest)}\n`).equals(bytes);
    return same && manifest.format === exportFormat && typeof manifest.files === "object" ? manifest : null;
  } catch {
    return null;
  }
};

const hashOfFile = async (files: ExportFiles, name: string): Promise<string> => {
  const hash = createHash("sha256");
  for await (const piece of files.bytes(name)) hash.update(piece);
  return hash.digest("hex");
};

/** Compares each file of an export with the hash that the manifest holds of it. */
const checkManifest = async (source: ExportFiles, check: RecordsCheck): Promise<RecordsBreak[]> => {
  const manifest = await readManifest(source);
  const broken = (sentence: string): RecordsBreak => ({ entry: null, sentence });
  if (manifest === null) return [broken("The manifest is missing, or is not as it was written.")];
  const breaks: RecordsBreak[] = [];
  const { station, entries, head, files } = manifest;
  if (station !== check.station || entries !== check.entries || head !== check.head)
    breaks.push(broken("The manifest does not belong to this ledger."));
  const found = (await source.names()).filter((name) => name !== exportNames.manifest);
  for (const name of found)
    if (!Object.hasOwn(files, name)) breaks.push(broken(`The file ${name} was added: the manifest does not know it.`));
  for (const [name, hash] of Object.entries(files)) {
    if (!found.includes(name)) breaks.push(broken(`The file ${name} is missing.`));
    else if ((await hashOfFile(source, name)) !== hash) breaks.push(broken(`The file ${name} was changed.`));
  }
  return breaks;
};

/** Checks an export: its ledger with all that this names by hash, and each of its files against the manifest. */
export const checkExport = async (files: ExportFiles): Promise<RecordsCheck> => {
  const check = await checkRecords(new ExportSource(files));
  const breaks = [...check.breaks, ...(await checkManifest(files, check))];
  return { ...check, breaks, holds: breaks.length === 0 };
};

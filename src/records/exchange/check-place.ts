import { createHash } from "node:crypto";
import { createReadStream } from "node:fs";
import { open, readFile, stat } from "node:fs/promises";
import { basename, join } from "node:path";
import { Fault } from "#fault";
import { storageFault } from "../storage/trouble.ts";
import { checkDatabase } from "../verify/check-database.ts";
import { checkRecords } from "../verify/check-records.ts";
import type { RecordsBreak, RecordsCheck } from "../verify/source.ts";
import { checkExport } from "./check-export.ts";
import { FolderFiles, type ExportFiles } from "./export-files.ts";
import { exportNames, ExportSource } from "./export-source.ts";
import { databaseFile, withSnapshot } from "./snapshot.ts";

/** What a place holds, as far as it belongs to records. */
export type RecordsPlace = "data-folder" | "backup" | "export" | "ledger";

export interface PlaceCheck extends RecordsCheck {
  readonly what: RecordsPlace;
}

const isThere = (path: string): Promise<boolean> =>
  stat(path).then(
    () => true,
    () => false,
  );

const beginning = async (path: string, length: number): Promise<string> => {
  const file = await open(path, "r");
  try {
    const { bytesRead, buffer } = await file.read(Buffer.alloc(length), 0, length, 0);
    return buffer.toString("latin1", 0, bytesRead);
  } finally {
    await file.close();
  }
};

/** What a path is; null where it is nothing of records. Throws `input.invalid` where it cannot be read. */
export const recordsPlace = async (path: string): Promise<RecordsPlace | null> => {
  try {
    if ((await stat(path)).isDirectory()) {
      if (await isThere(join(path, exportNames.ledger))) return "export";
      if (await isThere(databaseFile(path))) return "data-folder";
      throw new Fault("input.invalid", `${path} is a folder, and neither of records nor an export of them.`, {
        data: { path },
      });
    }
    const begins = await beginning(path, 4096);
    if (begins.startsWith("SQLite format 3\0")) return "backup";
    return /^\{"at":"[^"]*","author":/.test(begins) ? "ledger" : null;
  } catch (thrown) {
    if (thrown instanceof Fault) throw thrown;
    const code = thrown instanceof Error && "code" in thrown ? String(thrown.code) : "";
    throw new Fault(
      "input.invalid",
      `${path} cannot be read (${code}). Give the path of a file or folder that is there.`,
      {
        data: { path },
        cause: thrown,
      },
    );
  }
};

const hashOfFile = async (path: string): Promise<string> => {
  const hash = createHash("sha256");
  for await (const piece of createReadStream(path) as AsyncIterable<Buffer>) hash.update(piece);
  return hash.digest("hex");
};

const withBreaks = (check: RecordsCheck, more: readonly RecordsBreak[]): RecordsCheck => ({
  ...check,
  breaks: [...check.breaks, ...more],
  holds: check.holds && more.length === 0,
});

/** A database file that cannot even be read: what is in it is not what its tables should be. */
const unreadable = (thrown: unknown): RecordsCheck => {
  const code = thrown instanceof Error && "code" in thrown ? String(thrown.code) : "";
  const isDamaged = thrown instanceof Fault ? thrown.code === "records.damaged" : code.startsWith("SQLITE_");
  if (!(isDamaged || thrown instanceof SyntaxError)) throw thrown;
  const told = thrown instanceof Fault ? thrown.message : `The database cannot be read as records: ${String(thrown)}.`;
  const none = { station: null, entries: 0, head: "", holding: [], runs: [], certificates: [], remarks: [] };
  return { ...none, holds: false, breaks: [{ entry: null, sentence: told }] };
};

const checkDatabaseFile = async (file: string): Promise<RecordsCheck> => {
  try {
    return await withSnapshot(file, checkDatabase);
  } catch (thrown) {
    return unreadable(storageFault(thrown, file));
  }
};

/** The file beside a backup that holds its SHA-256, in the form of the usual tools. */
export const sidecar = (file: string): string => `${file}.sha256`;

export const sidecarText = async (file: string, name = basename(file)): Promise<string> =>
  `${await hashOfFile(file)}  ${name}\n`;

const checkSidecar = async (file: string, check: RecordsCheck): Promise<RecordsCheck> => {
  if (!(await isThere(sidecar(file)))) {
    const remark = `There is no ${basename(sidecar(file))} beside it: bytes of the file that hold no record were not checked.`;
    return { ...check, remarks: [...check.remarks, remark] };
  }
  const noted = await readFile(sidecar(file), "utf8");
  if (noted === (await sidecarText(file))) return check;
  return withBreaks(check, [
    { entry: null, sentence: `The file is not the one whose SHA-256 stands in ${basename(sidecar(file))}.` },
  ]);
};

/** The file of a ledger, wherever it stands and whatever it is called. */
class LoneLedger implements ExportFiles {
  readonly #path: string;

  constructor(path: string) {
    this.#path = path;
  }

  names(): Promise<readonly string[]> {
    return Promise.resolve([exportNames.ledger]);
  }

  bytes(): AsyncIterable<Uint8Array> {
    return createReadStream(this.#path) as AsyncIterable<Uint8Array>;
  }
}

/** Checks what stands at a path: a data folder (in use or not), a backup, an export, or the file of a ledger alone. */
export const checkPlace = async (path: string, what: RecordsPlace): Promise<PlaceCheck> => {
  switch (what) {
    case "data-folder":
      return { what, ...(await checkDatabaseFile(databaseFile(path))) };
    case "backup":
      return { what, ...(await checkSidecar(path, await checkDatabaseFile(path))) };
    case "ledger":
      return { what, ...(await checkRecords(new ExportSource(new LoneLedger(path), { ledgerOnly: true }))) };
    case "export":
      return { what, ...(await checkExport(new FolderFiles(path))) };
  }
};

import { backupDatabase, type Backup } from "./backup.ts";
import type { RecordsCheck } from "../verify/source.ts";
import { FolderFiles } from "./export-files.ts";
import { exportRecords, type Exported } from "./export-records.ts";
import { ExportSource } from "./export-source.ts";
import { copyDatabase, databaseFile, withSnapshot } from "./snapshot.ts";
import { importRecords, restoreRecords } from "./take-up.ts";

const machineNow = (): string => new Date().toISOString();

/** Copies the records of a folder to a file, in use or not. See `backupDatabase`. */
export const backupFolder = (folder: string, to: string): Promise<Backup> =>
  backupDatabase((part) => copyDatabase(databaseFile(folder), part), to);

/** Puts a backup in place as the records of a folder that has none. See `restoreRecords`. */
export const restoreBackup = (backup: string, folder: string, now = machineNow): Promise<RecordsCheck> =>
  restoreRecords(backup, folder, now);

/** Writes all that the records of a folder hold as open files, in use or not. See `exportRecords`. */
export const exportFolder = (folder: string, to: string): Promise<Exported> =>
  withSnapshot(databaseFile(folder), (database) => exportRecords(database, to));

/** Takes the records of an export into a folder that has none, the chain intact. See `importRecords`. */
export const importExport = (from: string, folder: string, now = machineNow): Promise<RecordsCheck> =>
  importRecords(from, new ExportSource(new FolderFiles(from)), folder, now);

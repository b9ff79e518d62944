import { z } from "zod";

/** Where the station puts its backups, how often, and how many of them stay. */
export const backupSettingSchema = z.strictObject({
  folder: z.string().trim().min(1).describe("a folder of the station's machine, best on another disk; a whole path"),
  everyHours: z.number().min(0).max(8760).describe("0: none by itself, only when asked for"),
  keep: z.int().min(1).max(10_000).default(14).describe("how many of the station's backups stay in the folder"),
});

export const chosenBackupSchema = backupSettingSchema.extend({
  by: z.string().trim().min(1).optional().describe("who sets it"),
});

export const backupMadeSchema = z.strictObject({
  file: z.string(),
  at: z.string().describe("UTC"),
  bytes: z.int().nonnegative(),
  entries: z.int().nonnegative().nullable().describe("entries of the ledger that it holds"),
  head: z.string().nullable().describe("hash of the last of them"),
});

export const backupStateSchema = z.strictObject({
  setting: backupSettingSchema.nullable(),
  last: backupMadeSchema.nullable().describe("the last one made since the station was started"),
  next: z.string().nullable().describe("UTC: when the next is due"),
  trouble: z.strictObject({ at: z.string(), message: z.string() }).nullable().describe("why the last try failed"),
});

export type BackupSetting = z.infer<typeof backupSettingSchema>;
export type ChosenBackup = z.infer<typeof chosenBackupSchema>;
export type BackupMade = z.infer<typeof backupMadeSchema>;
export type BackupState = z.infer<typeof backupStateSchema>;

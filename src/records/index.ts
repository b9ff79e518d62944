export { canonicalJson } from "./chain/canonical-json.ts";
export { type ChainCheck } from "./chain/chain.ts";
export { type Backup } from "./exchange/backup.ts";
export { checkPlace, recordsPlace, type PlaceCheck, type RecordsPlace } from "./exchange/check-place.ts";
export { type Exported } from "./exchange/export-records.ts";
export { backupFolder, exportFolder, importExport, restoreBackup } from "./exchange/folders.ts";
export { type RecordsBreak, type RecordsCheck } from "./verify/source.ts";
export { openFileJournal, type FileJournal } from "./journal/file-journal.ts";
export { type Journal } from "./journal/journal.ts";
export { openRecords, type OpenRecordsOptions, type Records } from "./open-records.ts";
export {
  type CertificateAmendment,
  type CertificateEntry,
  type CertificateKind,
  type CertificateList,
  type CertificateQuery,
  type CertificateWithdrawal,
  type MadeCertificate,
  type NewCertificate,
} from "./register/certificates.ts";
export { type ItemDescription, type KnownInstrument, type RunDecision } from "./register/recorded.ts";
export { type InstrumentEntryKept } from "./register/instruments.ts";
export { type ItemEntry } from "./register/items.ts";
export { type JobEntry, type SavedJob, type SaveOptions } from "./register/jobs.ts";
export { type Finding, type NewFinding } from "./register/findings.ts";
export { type KitEntry, type KitKind, type KitRevision } from "./register/kit.ts";
export { type MeasuredItem } from "./register/measured-items.ts";
export { type RunsWithKitQuery, type RunWithKit, type UsedKit } from "./register/run-kit.ts";
export { type ListedRun, type RunList, type RunQuery } from "./register/runs.ts";

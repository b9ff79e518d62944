export type { Place } from "./document/place.ts";
export type { Complaint, FieldError } from "./document/field-error.ts";
export type { FieldVocabulary, FieldWords } from "./document/field-words.ts";
export { TextDocument } from "./document/text-document.ts";
export { readDocument } from "./document/read-document.ts";
export { loadDocument, type LoadOptions } from "./document/load-document.ts";
export { loadJob } from "./job/load-job.ts";
export { loadKit, type KitFile } from "./kit/load-kit.ts";
export type { FileReading, Readings } from "./readings/readings.ts";
export type { Sheet } from "./readings/csv-table.ts";
export { readingsMappingSchema, shapeOf, type ReadingsMapping } from "./readings/mapping.ts";
export { readReadings, readReadingsCsv } from "./readings/read-readings.ts";
export { mappingOf, usesOf, type ColumnUse, type ColumnUses } from "./readings/column-uses.ts";
export { proposeUses } from "./readings/propose-uses.ts";
export { readSheets, type SheetsRead } from "./readings/read-sheets.ts";
export { readSheetsApart } from "./readings/read-sheets-apart.ts";
export { markedReadings, proposeMarks, type PointMark } from "./readings/point-marks.ts";
export { logFromReadings, type LogInput } from "./readings/log-from-readings.ts";
export { jobJsonSchema, runLogJsonSchema, writtenSchema, type JsonSchema } from "./schemas/json-schemas.ts";
export type {
  Brought,
  BroughtCalibration,
  BroughtEntry,
  BroughtForm,
  BroughtIdentity,
  BroughtPoint,
  BroughtTable,
} from "./identity/brought.ts";
export type { CheckState, EntryCheck } from "./identity/entry/check-entry.ts";
export { differencesBetween, effectsBetween, type Difference, type Effect } from "./identity/entry/differences.ts";
export { matchingEntry, type EntryMatch, type MatchWay } from "./identity/entry/matching-entry.ts";
export { propose, type Proposal, type ProposalInput } from "./identity/entry/proposal.ts";
export type { Answers, MissingField } from "./identity/entry/propose-entry.ts";
export { asEntry, isLabelCode, readLabelCode, writeLabelCode } from "./identity/label/label-code.ts";
export { labelWords, type LabelWords } from "./identity/label/label-words.ts";
export { bytesFromBase64, bytesFromHex, readIdentity } from "./identity/read-identity.ts";
export { dataSheetWord } from "./identity/teds/from-teds.ts";
export { readTeds, type TedsOptions } from "./identity/teds/read-teds.ts";
export type { BasicTeds, Teds, TedsSection } from "./identity/teds/teds.ts";
export { writeTeds } from "./identity/teds/write-teds.ts";

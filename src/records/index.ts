export { openFileJournal, type FileJournal } from "./journal/file-journal.ts";

import type { Outcome } from "#fault";
import { jobSchema, type Job } from "#calibration";
import { loadDocument } from "../document/load-document.ts";
import { jobComplaints } from "./job-complaints.ts";
import { jobVocabulary } from "./job-vocabulary.ts";

/**
 * A job from its text (YAML, or JSON where `name` ends in `.json`), checked and with every default written out. A failure
 * is `job.invalid` (or `kit.out-of-range`, `item.out-of-range` where that is all that is wrong): `data.fields` names every
 * wrong field as `{line, column, path, message, code?}`, the sentence the first few.
 */
export const loadJob = (text: string, name: string): Outcome<Job> =>
  loadDocument(text, name, jobSchema, { code: "job.invalid", vocabulary: jobVocabulary, sense: jobComplaints });

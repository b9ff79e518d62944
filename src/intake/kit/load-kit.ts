import { z } from "zod";
import { readoutSchema, referenceSchema, sourceSchema } from "#calibration";
import type { Outcome } from "#fault";
import { loadDocument } from "../document/load-document.ts";
import { jobVocabulary } from "../job/job-vocabulary.ts";

/** A kit by itself, written as in a job: all of it, or the parts that differ from the job's. */
const kitFileSchema = z
  .strictObject({
    name: z.string().trim().min(1).optional().describe("what the kit is called in a comparison"),
    reference: referenceSchema.optional(),
    readout: readoutSchema.optional(),
    source: sourceSchema.optional(),
  })
  .refine(
    ({ reference, readout, source }) => reference !== undefined || readout !== undefined || source !== undefined,
    { error: "give reference, readout or source, as in a job's kit" },
  );

export type KitFile = z.infer<typeof kitFileSchema>;

/** A kit from its text (YAML, or JSON where `name` ends in `.json`). A failure `input.invalid` names every wrong field with its line. */
export const loadKit = (text: string, name: string): Outcome<KitFile> =>
  loadDocument(text, name, kitFileSchema, { code: "input.invalid", vocabulary: jobVocabulary });

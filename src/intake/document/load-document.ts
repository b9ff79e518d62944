import type { z } from "zod";
import { success, type FaultCode, type Outcome } from "#fault";
import { fieldsFault, placed, type Complaint } from "./field-error.ts";
import type { FieldVocabulary } from "./field-words.ts";
import { issueComplaints } from "./issue-complaints.ts";
import { readDocument } from "./read-document.ts";

export interface LoadOptions<T> {
  /** Code of the fault; `input.malformed` for the text and `input.invalid` for its fields where nothing is said. */
  readonly code?: FaultCode;
  /** Units and examples for the sentences. */
  readonly vocabulary?: FieldVocabulary;
  /** What must hold between fields, asked once every field by itself is right. */
  readonly sense?: (value: T) => readonly Complaint[];
}

/**
 * A YAML or JSON text as a checked value of `schema`, defaults written out. A failure names every field that is wrong, with
 * line and column, in `data.fields`; its sentence holds the first few. `name` is what the text is called in the sentences.
 */
export const loadDocument = <S extends z.ZodType>(
  text: string,
  name: string,
  schema: S,
  { code, vocabulary = {}, sense = () => [] }: LoadOptions<z.output<S>> = {},
): Outcome<z.output<S>> => {
  const document = readDocument(text, name, code);
  if (!document.ok) return document;
  const checked = schema.safeParse(document.value.value);
  const complaints = checked.success
    ? sense(checked.data)
    : issueComplaints({ document: document.value, schema, vocabulary }, checked.error.issues);
  if (complaints.length > 0) return fieldsFault(code ?? "input.invalid", name, placed(document.value, complaints));
  return success(checked.data as z.output<S>);
};

import type { Path } from "./place.ts";

/** What a number in a field is measured in, and one to write for example. */
export interface FieldWords {
  readonly unit?: string;
  readonly example?: string;
}

/** Words for fields, by the end of their path: `points[].temperature` before `temperature`. */
export type FieldVocabulary = Readonly<Record<string, FieldWords>>;

/** Names from the end of a path, indices as `[]`: `points[].temperature`. */
const endings = (path: Path): string[] => {
  const parts = path.map((part) => (typeof part === "number" ? "[]" : String(part)));
  const texts: string[] = [];
  for (let start = 0; start < parts.length; start += 1) {
    if (parts[start] !== "[]") texts.push(parts.slice(start).join(".").replaceAll(".[]", "[]"));
  }
  return texts;
};

/** The words of the longest ending that the vocabulary knows. */
export const fieldWords = (vocabulary: FieldVocabulary, path: Path): FieldWords => {
  for (const ending of endings(path)) {
    const words = vocabulary[ending];
    if (words !== undefined) return words;
  }
  return {};
};

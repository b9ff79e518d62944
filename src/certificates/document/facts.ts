import type { Fact } from "./model.ts";

/** Facts that have a text; what a job leaves out leaves no row. */
export const factsOf = (pairs: readonly (readonly [string, string | null | undefined])[]): readonly Fact[] =>
  pairs.flatMap(([label, text]) => (text === null || text === undefined || text === "" ? [] : [{ label, text }]));

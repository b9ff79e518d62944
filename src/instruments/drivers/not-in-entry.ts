import { failure } from "#fault";
import type { Addressee } from "./trouble.ts";

/** The entry has no words for what is wanted. */
export const notInEntry = ({ entry, id }: Addressee, what: string) =>
  failure(
    "instrument.entry-invalid",
    `Catalogue entry "${entry}" of instrument "${id}" has no words for ${what}. Add them to the entry, or choose another.`,
  );

import { failure } from "#fault";
import { calledHere, type Addressee } from "./addressee.ts";

/** The entry has no words for what is wanted. */
export const notInEntry = (addressee: Addressee, what: string) =>
  failure(
    "instrument.entry-invalid",
    `Catalogue entry "${addressee.entry}" of ${calledHere(addressee)} has no words for ${what}. Add them to the entry, or choose another.`,
  );

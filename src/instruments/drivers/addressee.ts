/** Whom a sentence is about. */
export interface Addressee {
  /** What its job calls it; empty while it has no name yet, as when it is being set up. */
  readonly id: string;
  readonly at: string;
  readonly entry: string;
}

/** The instrument in the middle of a sentence, by the name that it has. */
export const calledHere = ({ id }: Pick<Addressee, "id">): string =>
  id === "" ? "the instrument" : `instrument "${id}"`;

/** The instrument and its place at the beginning of a sentence. */
export const calledFirst = ({ id, at }: Pick<Addressee, "id" | "at">): string =>
  `${id === "" ? "The instrument" : `Instrument "${id}"`} at ${at}`;

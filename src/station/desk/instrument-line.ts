import type { KnownInstrument } from "#records";

/** Text that YAML reads as itself within braces; anything else stands in quotation marks. */
const plain = /^[A-Za-z][\w./-]*(:[\w./:#@-]*[\w/#@-])?$/;
/** Names that YAML takes for something else than a text. */
const taken = /^(true|false|yes|no|on|off|null|y|n)$/i;

const scalar = (text: string): string => (plain.test(text) && !taken.test(text) ? text : JSON.stringify(text));

/** The line by which a job names an instrument under `bench.instruments`. */
export const instrumentLine = ({
  name,
  entry,
  at,
  role,
}: Pick<KnownInstrument, "name" | "entry" | "at" | "role">): string =>
  `- {id: ${scalar(name)}, entry: ${scalar(entry)}, at: ${scalar(at)}, role: ${role}}`;

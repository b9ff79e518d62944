/*
 * The instrument's side of SCPI, written from the standard and apart from the codecs of the instruments room: the two
 * meet only in bytes, so a mistake in one is not mirrored in the other.
 */

/** One unit of a program message: a command or a query with its parameters. */
export interface ProgramUnit {
  /** Header in capitals from the root, without the question mark: "MEAS:VOLT" or "*IDN". */
  readonly header: string;
  readonly query: boolean;
  readonly parameters: readonly string[];
}

/** Cuts at a separator that stands outside quotes and brackets. */
const cutAt = (text: string, separator: string): string[] => {
  const parts: string[] = [];
  let part = "";
  let quote = "";
  let depth = 0;
  for (const character of text) {
    if (quote !== "") {
      if (character === quote) quote = "";
    } else if (character === '"' || character === "'") {
      quote = character;
    } else if (character === "(") {
      depth += 1;
    } else if (character === ")") {
      depth -= 1;
    } else if (character === separator && depth <= 0) {
      parts.push(part);
      part = "";
      continue;
    }
    part += character;
  }
  parts.push(part);
  return parts;
};

const headerForm = /^(\*[A-Z]{3}|:?[A-Z][A-Z0-9_]*(?::[A-Z][A-Z0-9_]*)*)(\?)?$/;

/**
 * Reads a program message: units with `;` between. A header that begins neither with `:` nor with `*` goes on from the
 * path of the unit before it (SCPI-1999 6.2.4). Null stands for a unit that is not a header at all.
 */
export const parseProgramMessage = (message: string): readonly (ProgramUnit | null)[] => {
  const units: (ProgramUnit | null)[] = [];
  let path: readonly string[] = [];
  for (const raw of cutAt(message, ";")) {
    const text = raw.trim();
    if (text === "") continue;
    const blank = text.search(/\s/);
    const match = headerForm.exec((blank < 0 ? text : text.slice(0, blank)).toUpperCase());
    if (match === null) {
      units.push(null);
      continue;
    }
    const [, written, mark] = match;
    const rest = blank < 0 ? "" : text.slice(blank).trim();
    const parameters = rest === "" ? [] : cutAt(rest, ",").map((parameter) => parameter.trim());
    let header = written!;
    if (!header.startsWith("*")) {
      const nodes = header.startsWith(":") ? header.slice(1).split(":") : [...path, ...header.split(":")];
      path = nodes.slice(0, -1);
      header = nodes.join(":");
    }
    units.push({ header, query: mark === "?", parameters });
  }
  return units;
};

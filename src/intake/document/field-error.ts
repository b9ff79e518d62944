import { failure, type FaultCode, type FaultValue } from "#fault";
import { pathText, type Path, type Place } from "./place.ts";
import type { TextDocument } from "./text-document.ts";

/** What is wrong with one field: where in the text, which field, what was expected, what to write. */
export interface FieldError extends Place {
  readonly path: string;
  readonly message: string;
  /** A more particular fault than the document's own, such as `kit.out-of-range`. */
  readonly code?: FaultCode;
}

/** A complaint about a value, before it is known where in the text the value stands. */
export interface Complaint {
  readonly path: Path;
  readonly message: string;
  readonly code?: FaultCode;
  /** The key itself is what is wrong, not what it holds. */
  readonly atKey?: boolean;
}

const mostShown = 5;

const line = (name: string, error: FieldError): string => `${name}:${error.line}: ${error.path}: ${error.message}`;

/** Complaints in the order of the text, each with its place. */
export const placed = (document: TextDocument, complaints: readonly Complaint[]): FieldError[] =>
  complaints
    .map(({ path, message, code, atKey }) => ({
      ...(atKey === true ? document.keyPlace(path) : document.place(path)),
      path: pathText(path),
      message,
      ...(code === undefined ? {} : { code }),
    }))
    .toSorted((a, b) => a.line - b.line || a.column - b.column);

/**
 * All field errors as one fault: its sentence holds the first few, its data every one. Where all of them are of one more
 * particular kind, the fault carries that kind's code. `count` is how many there are where not all are listed.
 */
export const fieldsFault = (
  code: FaultCode,
  name: string,
  fields: readonly FieldError[],
  count = fields.length,
): { ok: false; fault: FaultValue } => {
  const shown = fields.slice(0, mostShown).map((error) => line(name, error));
  const rest = count - shown.length;
  const more = rest > 0 ? [`… and ${rest} more.`] : [];
  const own = fields[0]?.code;
  const common = own !== undefined && fields.every((field) => field.code === own) ? own : code;
  return failure(common, [...shown, ...more].join("\n"), { document: name, fields });
};

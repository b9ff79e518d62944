import { Fault } from "#fault";

const unwritable = (path: string, what: string): Fault =>
  new Fault("internal", `${path === "" ? "The record" : path} is ${what}, which JSON cannot hold.`, { data: { path } });

const member = (value: unknown, path: string): string => {
  switch (typeof value) {
    case "number":
      if (!Number.isFinite(value)) throw unwritable(path, String(value));
      return JSON.stringify(value);
    case "string":
      if (/\p{Surrogate}/u.test(value)) throw unwritable(path, "text with half a character");
      return JSON.stringify(value);
    case "boolean":
      return String(value);
    case "object":
      break;
    default:
      throw unwritable(path, `a ${typeof value}`);
  }
  if (value === null) return "null";
  if (Array.isArray(value)) return `[${value.map((part, index) => member(part, `${path}[${index}]`)).join(",")}]`;
  const fields = Object.entries(value)
    .filter(([, part]) => part !== undefined)
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, part]) => `${member(key, path)}:${member(part, path === "" ? key : `${path}.${key}`)}`);
  return `{${fields.join(",")}}`;
};

/**
 * The one JSON text of a value (RFC 8785): no spaces, members in the order of their UTF-16 code units, numbers in the
 * shortest form that reads back to the same double. Members that are undefined are left out. What JSON cannot hold (NaN,
 * infinities, lone surrogates, functions) is thrown as a fault, never written as something else.
 */
export const canonicalJson = (value: unknown): string => member(value, "");

import { createHash } from "node:crypto";
import { deflateRawSync, inflateRawSync } from "node:zlib";
import { z } from "zod";
import { readoutSchema, referenceSchema, sourceSchema } from "#calibration";
import { failure, success, type Outcome } from "#fault";
import type { BroughtEntry } from "../brought.ts";
import { fromBase32, toBase32 } from "./base32.ts";
import { dictionary1 } from "./dictionary.ts";

/** What every code of version 1 begins with. */
export const labelPrefix = "DWP1";
const sumBytes = 4;
const largestEntry = 65_536;
/** The dense mode of the largest QR code at the middle level of correction holds 3,391 signs; a label is meant to be far smaller. */
export const longestCode = 3391;

const dictionary = Buffer.from(dictionary1, "utf8");

/** The channel belongs to a job: any name passes the schema, and is taken off again. */
const anyChannel = "reference";

const entrySchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("reference"), entry: z.looseObject({}) }),
  z.strictObject({ kind: z.literal("readout"), entry: z.looseObject({}) }),
  z.strictObject({ kind: z.literal("source"), entry: z.looseObject({}) }),
]);

/** A kit entry as a checked value; null where it is none. */
export const asEntry = (value: unknown): BroughtEntry | null => {
  const outer = entrySchema.safeParse(value);
  if (!outer.success) return null;
  const { kind, entry } = outer.data;
  if (kind === "reference") {
    const read = referenceSchema.safeParse({ ...entry, channel: anyChannel });
    if (!read.success) return null;
    const { channel: _, ...reference } = read.data;
    return { kind, entry: reference };
  }
  if (kind === "readout") {
    const read = readoutSchema.safeParse(entry);
    return read.success ? { kind, entry: read.data } : null;
  }
  const read = sourceSchema.safeParse(entry);
  return read.success ? { kind, entry: read.data } : null;
};

const sumOf = (bytes: Uint8Array): Buffer => createHash("sha256").update(bytes).digest().subarray(0, sumBytes);

/** JSON with its keys in order, so that one entry has one code. Numbers are the shortest text that gives the same double. */
const inOrder = (value: unknown): unknown => {
  if (Array.isArray(value)) return value.map(inOrder);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([, part]) => part !== undefined)
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, part]) => [key, inOrder(part)]),
  );
};

/**
 * The code of a kit entry's label: `DWP1`, then in base 32 the first four bytes of the SHA-256 of the entry's text and the
 * text itself, compressed. Every number comes back to the last bit. Failure `input.invalid` where it is too much for a QR code.
 */
export const writeLabelCode = (entry: BroughtEntry): Outcome<string> => {
  const text = Buffer.from(JSON.stringify(inOrder(entry)), "utf8");
  const packed = deflateRawSync(text, { level: 9, dictionary });
  const code = labelPrefix + toBase32(Buffer.concat([sumOf(text), packed]));
  return code.length <= longestCode
    ? success(code)
    : failure(
        "input.invalid",
        `The entry ${entry.entry.id} is too long for a label: its code would have ${code.length} signs, and a QR code holds ${longestCode}.`,
      );
};

const damaged = (): Outcome<never> =>
  failure(
    "identity.damaged",
    "The label's code does not hold its own check sum: a part is missing or was read wrongly. Scan it again; if the scanner types other letters than are on the label, set it to the keyboard's language.",
  );

/** The code without what a scanner adds: spaces, line ends, small letters. */
const cleaned = (text: string): string => text.replaceAll(/\s+/g, "").toUpperCase();

export const isLabelCode = (text: string): boolean => /^\s*DWP\d/i.test(text);

/**
 * Reads what a scanner typed or a photo held. Failures: `identity.unreadable` for a code that is none of ours or of a later
 * version, `identity.damaged` where one sign is wrong or missing.
 */
export const readLabelCode = (text: string): Outcome<BroughtEntry> => {
  const code = text.length > 4 * longestCode ? "" : cleaned(text);
  const version = /^DWP(\d)/.exec(code)?.[1];
  if (version === undefined)
    return failure("identity.unreadable", "This is no label code of Dwellpoint; one begins with DWP and a digit.");
  if (version !== "1")
    return failure(
      "identity.unreadable",
      `The label's code is of version ${version}, which this program does not know. Use a newer one.`,
    );
  const bytes = fromBase32(code.slice(labelPrefix.length));
  if (bytes === null || bytes.length <= sumBytes) return damaged();
  try {
    const content = inflateRawSync(bytes.subarray(sumBytes), { dictionary, maxOutputLength: largestEntry });
    if (!sumOf(content).equals(bytes.subarray(0, sumBytes))) return damaged();
    const entry = asEntry(JSON.parse(content.toString("utf8")));
    return entry === null
      ? failure("identity.unreadable", "The label's code is whole, but holds no kit entry that this version knows.")
      : success(entry);
  } catch {
    return damaged();
  }
};

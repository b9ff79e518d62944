import type { z } from "zod";
import type { Complaint } from "./field-error.ts";
import { fieldWords, type FieldVocabulary } from "./field-words.ts";
import { suggestion } from "./nearest-word.ts";
import type { Path } from "./place.ts";
import { descriptionAt, knownKeys } from "./schema-shape.ts";
import { unitMeant } from "./unit-meant.ts";
import type { TextDocument } from "./text-document.ts";

type Issue = z.core.$ZodIssue;

/** What the words of a complaint are taken from. */
export interface Reading {
  readonly document: TextDocument;
  readonly schema: z.ZodType;
  readonly vocabulary: FieldVocabulary;
}

const shorten = (text: string): string => (text.length > 40 ? `${text.slice(0, 39)}…` : text);

const isDate = /^\d{4}-\d{2}-\d{2}$/;

/** A value as people would point at it. */
const shown = (value: unknown): string => {
  if (value === undefined) return "nothing";
  if (value === null) return "nothing";
  if (typeof value === "string") return `"${shorten(value)}"`;
  if (Array.isArray(value)) return "a list";
  if (typeof value === "object") return "a block of fields";
  return String(value);
};

const listed = (values: readonly unknown[]): string => {
  const texts = values.map((value) => String(value));
  return texts.length < 2 ? texts.join("") : `${texts.slice(0, -1).join(", ")} or ${texts.at(-1)}`;
};

/** What is typed where only a number can stand, set right where that is easy. */
const numberAdvice = (value: unknown, example: string | undefined): string => {
  const advice = example === undefined ? "" : ` Write for example ${example}.`;
  if (typeof value !== "string") return advice;
  const text = value.trim();
  const comma = /^[+-]?\d+,\d+$/.exec(text);
  if (comma !== null) return ` Write the decimals after a point: ${text.replace(",", ".")}.`;
  const withUnit = /^([+-]?\d+(?:[.,]\d+)?)\s*(?:°?\s*[CFK]|K|%|Ω|ohms?|mV|mA|mm|s)$/i.exec(text);
  if (withUnit !== null) return ` Write the number alone, without its unit: ${withUnit[1]!.replace(",", ".")}.`;
  if (/^[+-]?\d+(?:\.\d+)?$/.test(text)) return ` Write it without quotes: ${text}.`;
  return advice;
};

const numberWords = ({ vocabulary }: Reading, path: Path): { what: string; example: string | undefined } => {
  const { unit, example } = fieldWords(vocabulary, path);
  return { what: unit === undefined ? "a number" : `a number in ${unit}`, example };
};

const textMessage = ({ document, vocabulary }: Reading, path: Path, value: unknown): string => {
  const source = document.sourceAt(path);
  const { example } = fieldWords(vocabulary, path);
  if (example !== undefined && isDate.test(example))
    return `expected a date as year-month-day, for example ${example}; found ${shown(value)}.`;
  if (source !== undefined && (typeof value === "number" || typeof value === "boolean")) {
    const kind = typeof value === "number" ? `the number ${value}` : `the truth value ${value}`;
    return `expected text, but ${source} without quotes is read as ${kind}. Put it in quotes: "${source}".`;
  }
  return `expected text, found ${shown(value)}.`;
};

const typeMessage = (reading: Reading, path: Path, expected: string, value: unknown): string => {
  if (expected === "number" || expected === "int") {
    const { what, example } = numberWords(reading, path);
    if (typeof value === "number")
      return `expected a ${Number.isFinite(value) ? "whole" : "finite"} number, found ${value}.`;
    return `expected ${expected === "int" ? what.replace("a number", "a whole number") : what}, found ${shown(value)}.${numberAdvice(value, example)}`;
  }
  if (expected === "string") return textMessage(reading, path, value);
  if (expected === "boolean") return `expected true or false, found ${shown(value)}.`;
  if (expected === "array" || expected === "tuple")
    return `expected a list (lines that begin with "- "), found ${shown(value)}.`;
  if (expected === "object" || expected === "record")
    return `expected a block of fields (key: value), found ${shown(value)}.`;
  return `expected ${expected}, found ${shown(value)}.`;
};

const ownWords = (reading: Reading, path: Path): string => {
  const description = descriptionAt(reading.schema, reading.document.value, path);
  return description === undefined || description === path.at(-1)
    ? ""
    : ` It holds: ${description.replace(/[.;:\s]+$/, "")}.`;
};

const missingMessage = (reading: Reading, path: Path, empty: boolean): string => {
  const { example } = fieldWords(reading.vocabulary, path);
  const advice = example === undefined ? "" : ` Write for example ${example}.`;
  return `this field is ${empty ? "empty" : "missing"}.${ownWords(reading, path)}${advice}`;
};

const sizeMessage = (
  reading: Reading,
  path: Path,
  issue: Extract<Issue, { code: "too_small" | "too_big" }>,
  value: unknown,
): string => {
  const small = issue.code === "too_small";
  const limit = Number(small ? issue.minimum : issue.maximum);
  if (issue.origin === "string") {
    return small && limit === 1
      ? missingMessage(reading, path, true)
      : `expected ${small ? "at least" : "at most"} ${limit} characters, found ${shown(value)}.`;
  }
  if (issue.origin === "array" || issue.origin === "set") {
    return `expected ${small ? "at least" : "at most"} ${limit} ${limit === 1 ? "entry" : "entries"}, found ${Array.isArray(value) ? value.length : shown(value)}.`;
  }
  const { unit } = fieldWords(reading.vocabulary, path);
  const bound = small
    ? issue.inclusive === true
      ? "not below"
      : "above"
    : issue.inclusive === true
      ? "not above"
      : "below";
  return `expected a number ${bound} ${limit}${unit === undefined ? "" : ` ${unit}`}, found ${shown(value)}.`;
};

const choiceMessage = (values: readonly unknown[], value: unknown): string => {
  const unit = typeof value === "string" ? unitMeant(value) : undefined;
  const near =
    typeof value !== "string"
      ? ""
      : unit !== undefined && values.includes(unit)
        ? ` Write ${unit}.`
        : suggestion(value, values.map(String));
  return `expected ${values.length > 1 ? "one of " : ""}${listed(values)}; found ${shown(value)}.${near}`;
};

/** Faults of constant fields (`kind: loop`) weigh most: a branch with one of them was not meant. */
const misfit = (issues: readonly Issue[]): number =>
  issues.reduce(
    (sum, issue) =>
      sum +
      (issue.code === "invalid_value" && issue.values.length === 1
        ? 1000
        : issue.path.length === 0 && issue.code === "invalid_type"
          ? 100
          : 1),
    0,
  );

const unionComplaints = (
  reading: Reading,
  path: Path,
  issue: Extract<Issue, { code: "invalid_union" }>,
  value: unknown,
): Complaint[] => {
  if (issue.errors.length === 0) {
    const { options } = issue as { options?: readonly unknown[] };
    const field = issue.path.at(-1) === issue.discriminator ? value : undefined;
    if (field === undefined && options === undefined) return [{ path, message: missingMessage(reading, path, false) }];
    if (field === undefined) return [{ path, message: `this field is missing. Write one of ${listed(options!)}.` }];
    return [
      { path, message: options === undefined ? `${shown(field)} is not known here.` : choiceMessage(options, field) },
    ];
  }
  const ranked = issue.errors.toSorted((a, b) => misfit(a) - misfit(b));
  const best = ranked[0]!;
  if (ranked.every((issues) => issues.some((each) => each.path.length === 0 && each.code === "invalid_type"))) {
    const expected = new Set(
      ranked.flatMap((issues) => issues.filter((each) => each.code === "invalid_type").map((each) => each.expected)),
    );
    if (expected.has("number") && expected.has("array")) {
      const { what, example } = numberWords(reading, path);
      return [
        {
          path,
          message: `expected ${what}, or a table of temperature and value, found ${shown(value)}.${numberAdvice(value, example)}`,
        },
      ];
    }
  }
  const constants = (issues: readonly Issue[]) =>
    issues.filter((each) => each.code === "invalid_value" && each.values.length === 1);
  const [first] = constants(best);
  if (first !== undefined) {
    const key = first.path;
    const values = new Set(
      issue.errors
        .flatMap(constants)
        .flatMap((each) => (each.code === "invalid_value" && each.path.join() === key.join() ? each.values : [])),
    );
    const at = [...path, ...key];
    const found = reading.document.valueAt(at);
    const message =
      found === undefined
        ? `this field is missing. Write one of ${listed([...values])}.`
        : choiceMessage([...values], found);
    return [{ path: at, message }];
  }
  return best.flatMap((each) => complaintsOf(reading, each, path));
};

const unknownKeys = (reading: Reading, path: Path, keys: readonly string[], value: unknown): Complaint[] => {
  const known = knownKeys(reading.schema, reading.document.value, path, value);
  const present = new Set(Object.keys((value ?? {}) as object));
  return keys.map((key) => {
    const near = suggestion(
      key,
      known.filter((each) => !present.has(each)),
    );
    const list = known.length > 0 && known.length <= 12 ? ` Known here: ${known.join(", ")}.` : "";
    return { path: [...path, key], atKey: true, message: `this field is not known here.${near === "" ? list : near}` };
  });
};

/** One issue of the schema's check as what people are told; unions give the branch that was meant, not all of them. */
const complaintsOf = (reading: Reading, issue: Issue, prefix: Path): Complaint[] => {
  const path = [...prefix, ...issue.path];
  const value = reading.document.valueAt(path);
  switch (issue.code) {
    case "unrecognized_keys":
      return unknownKeys(reading, path, issue.keys, value);
    case "invalid_union":
      return unionComplaints(reading, path, issue, value);
    case "invalid_type":
      if (value === undefined) return [{ path, message: missingMessage(reading, path, false) }];
      if (value === null) return [{ path, message: missingMessage(reading, path, true) }];
      return [{ path, message: typeMessage(reading, path, issue.expected, value) }];
    case "invalid_value":
      if (value === undefined)
        return [
          {
            path,
            message: `this field is missing. Write ${issue.values.length > 1 ? "one of " : ""}${listed(issue.values)}.`,
          },
        ];
      return [{ path, message: choiceMessage(issue.values, value) }];
    case "too_small":
    case "too_big":
      return [{ path, message: sizeMessage(reading, path, issue, value) }];
    case "invalid_key":
      return [
        { path, atKey: true, message: `this name cannot be used: ${issue.issues[0]?.message ?? issue.message}.` },
      ];
    case "invalid_format":
      return [
        {
          path,
          message: issue.message.startsWith("Invalid")
            ? `${shown(value)} does not have the right form.`
            : `expected ${issue.message}; found ${shown(value)}.`,
        },
      ];
    default:
      return [{ path, message: `${issue.message}${issue.message.endsWith(".") ? "" : "."}` }];
  }
};

/** Everything that a schema's check found, as complaints. Of a value of the wrong type nothing else is said. */
export const issueComplaints = (reading: Reading, issues: readonly Issue[]): Complaint[] => {
  const key = (path: Path): string => path.map(String).join("\n");
  const mistyped = new Set(issues.filter(({ code }) => code === "invalid_type").map(({ path }) => key(path)));
  return issues
    .filter(({ code, path }) => code === "invalid_type" || !mistyped.has(key(path)))
    .flatMap((issue) => complaintsOf(reading, issue, []));
};

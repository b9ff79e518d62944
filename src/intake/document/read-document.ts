import { LineCounter, parseDocument, type Document, type ErrorCode } from "yaml";
import { failure, success, type FaultCode, type Outcome } from "#fault";
import { fieldsFault } from "./field-error.ts";
import { TextDocument } from "./text-document.ts";

/** Largest text that is read, in characters (1 MiB). */
export const mostCharacters = 1_048_576;
/** Aliases may stand for at most so many nodes: a few repeated blocks, never an avalanche. */
const mostAliases = 100;
/** Documents of this product are a handful of levels deep. */
const deepest = 64;

const words: Partial<Record<ErrorCode, string>> = {
  TAB_AS_INDENT: "a tab is used to indent. Indent with spaces: two for each level.",
  DUPLICATE_KEY: "this key stands twice in the same block. Keep one of the two.",
  MULTIPLE_DOCS: "a second document begins here (---). Keep one document in a file.",
  BLOCK_AS_IMPLICIT_KEY: "a second ': ' stands on this line. Put text that contains ': ' in quotes.",
  BAD_INDENT:
    "the indentation does not fit the lines above. Keys of one block begin in the same column; close every bracket.",
  BAD_SCALAR_START: "a value may not begin with this character. Put the value in quotes.",
  RESOURCE_EXHAUSTION: `the document is nested too deeply (more than ${deepest} levels).`,
  BAD_ALIAS: "this alias (*) is not written rightly. Put text that begins with * or & in quotes.",
  TAG_RESOLVE_FAILED: "tags (!) have no meaning here. Put text that begins with ! in quotes.",
  MISSING_CHAR: "something is not closed: a quote, a bracket, or the ':' or space after a key is missing.",
};

const malformed = (
  code: FaultCode,
  name: string,
  place: { line: number; column: number },
  message: string,
): Outcome<never> => fieldsFault(code, name, [{ ...place, path: "(text)", message }]);

const depthOf = (value: unknown, level = 0): number => {
  if (typeof value !== "object" || value === null || level > deepest) return level;
  return Math.max(level, ...Object.values(value).map((part) => depthOf(part, level + 1)));
};

const parsed = (text: string, lines: LineCounter): Document =>
  parseDocument(text, { lineCounter: lines, prettyErrors: false, version: "1.2", schema: "core", logLevel: "error" });

/** JSON by its own rules first: YAML would forgive a trailing comma or a missing quote. */
const jsonError = (text: string): { position: number; words: string } | undefined => {
  try {
    JSON.parse(text);
    return undefined;
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    const position = Number(/at position (\d+)/.exec(message)?.[1] ?? text.length);
    return { position, words: message.replace(/\s*(in JSON )?at position.*$/, "").replace(/, "[\s\S]*$/, "") };
  }
};

const lineAt = (text: string, position: number): { line: number; column: number } => {
  const before = text.slice(0, position).split("\n");
  return { line: before.length, column: before.at(-1)!.length + 1 };
};

/**
 * A text in YAML 1.2 or JSON (a name that ends in `.json`), with the place of every part. Refused with the line: bad
 * syntax, tabs as indentation, a key twice, tags, more than one document, too many aliases, too deep, above 1 MiB, empty.
 * `code` is the fault for all of these; `input.malformed` where nothing is said.
 */
export const readDocument = (
  written: string,
  name: string,
  code: FaultCode = "input.malformed",
): Outcome<TextDocument> => {
  const start = { line: 1, column: 1 };
  if (written.length > mostCharacters) {
    return failure(
      code,
      `${name} has ${written.length} characters; at most ${mostCharacters} are read. Is it the right file?`,
      { document: name, fields: [] },
    );
  }
  // The ohm sign and the Greek letter look alike and are one after this; so are letters with accents, composed or not.
  const text = written.normalize("NFC");
  if (text.includes("\u0000"))
    return malformed(
      code,
      name,
      lineAt(text, text.indexOf("\u0000")),
      "this is not a text file. Save it as plain text, UTF-8.",
    );
  if (text.includes("\uFFFD")) {
    return malformed(
      code,
      name,
      lineAt(text, text.indexOf("\uFFFD")),
      "a character here cannot be read. Save the file as UTF-8.",
    );
  }
  if (text.trim() === "") return malformed(code, name, start, "the file is empty.");
  const json = /\.json$/i.test(name) ? jsonError(text) : undefined;
  if (json !== undefined)
    return malformed(code, name, lineAt(text, json.position), `this is not valid JSON: ${json.words}.`);
  const lines = new LineCounter();
  try {
    const document = parsed(text, lines);
    const trouble = [...document.errors, ...document.warnings];
    const [first] = trouble;
    if (first !== undefined) {
      const { line, col } = lines.linePos(first.pos[0]);
      return malformed(code, name, { line, column: col }, words[first.code] ?? `${first.message}.`);
    }
    const value: unknown = document.toJS({ maxAliasCount: mostAliases });
    if (depthOf(value) > deepest) return malformed(code, name, start, words.RESOURCE_EXHAUSTION!);
    if (typeof value !== "object" || value === null) {
      return malformed(code, name, start, "expected fields with values (key: value), found something else.");
    }
    return success(new TextDocument(name, value, document, lines));
  } catch (error) {
    if (error instanceof ReferenceError) {
      const unknown = /Unresolved alias.*: (.+)$/.exec(error.message)?.[1];
      return unknown === undefined
        ? malformed(
            code,
            name,
            start,
            `aliases (*) stand for too much; they may stand for ${mostAliases} values in all. Write the values out.`,
          )
        : malformed(
            code,
            name,
            lineAt(text, Math.max(0, text.indexOf(`*${unknown}`))),
            `*${unknown} refers to nothing above it. Put text that begins with * in quotes.`,
          );
    }
    if (error instanceof RangeError) return malformed(code, name, start, words.RESOURCE_EXHAUSTION!);
    throw error;
  }
};

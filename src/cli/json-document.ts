import { Readable } from "node:stream";
import { failure, type Outcome } from "#fault";
import type { ExitCode, Surroundings } from "./command.ts";
import { answerLines } from "./json-lines.ts";

/** More is not one question for one answer. */
const largestDocument = 64_000_000;

const readAll = async (stdin: Readable): Promise<string | undefined> => {
  stdin.setEncoding("utf8");
  let text = "";
  for await (const chunk of stdin as AsyncIterable<string>) {
    text += chunk;
    if (text.length > largestDocument) return undefined;
  }
  return text.startsWith("\uFEFF") ? text.slice(1) : text;
};

const reasonOf = (thrown: unknown): string => (thrown instanceof Error ? thrown.message : String(thrown));

/** A text as the lines that `answerLines` takes: one JSON document over several lines becomes one line. */
const asLines = (text: string): Outcome<string> => {
  try {
    return { ok: true, value: JSON.stringify(JSON.parse(text)) };
  } catch (thrown) {
    try {
      JSON.parse(text.trim().split("\n")[0] ?? "");
      return { ok: true, value: text };
    } catch {
      return failure("input.malformed", `The input is not JSON: ${reasonOf(thrown)}. Give one JSON object.`);
    }
  }
};

/**
 * Answers JSON on standard input: one object, written over as many lines as one likes, or JSON Lines with an answer each.
 * What cannot be answered has `{"error":…}` in its place.
 */
export const answerDocument = async (
  surroundings: Surroundings,
  answer: (value: unknown) => Outcome<object>,
): Promise<ExitCode> => {
  const text = await readAll(surroundings.stdin);
  const lines =
    text === undefined
      ? failure("input.malformed", `The input is longer than ${largestDocument} characters.`)
      : asLines(text);
  if (!lines.ok) {
    surroundings.stdout.write(`${JSON.stringify({ error: lines.fault })}\n`);
    return 1;
  }
  return answerLines({ ...surroundings, stdin: Readable.from([lines.value], { objectMode: false }) }, answer);
};

import { once } from "node:events";
import { failure, faultValue, type FaultValue, type Outcome } from "#fault";
import type { ExitCode, Surroundings } from "./command.ts";

/** Longer lines are refused instead of being collected without bound. */
const longestLine = 4_000_000;
const writeSize = 65_536;

const malformed = (line: number, reason: string): { readonly ok: false; readonly fault: FaultValue } =>
  failure("input.malformed", `Line ${line} is not JSON: ${reason}. Give one JSON object a line.`, { line });

/** Cuts a stream of text into lines. A last line without a line end counts; a carriage return before a line end does not. */
class LineCutter {
  #rest = "";
  #tooLong = false;
  readonly #take: (line: string | undefined) => void;

  /** `take` gets each line, or undefined for one that is too long. */
  constructor(take: (line: string | undefined) => void) {
    this.#take = take;
  }

  push(text: string): void {
    let from = 0;
    for (let end = text.indexOf("\n"); end >= 0; end = text.indexOf("\n", from)) {
      this.#finish(text.slice(from, end));
      from = end + 1;
    }
    if (this.#tooLong) return;
    this.#rest += text.slice(from);
    if (this.#rest.length > longestLine) {
      this.#rest = "";
      this.#tooLong = true;
    }
  }

  end(): void {
    if (this.#tooLong || this.#rest !== "") this.#finish("");
  }

  #finish(tail: string): void {
    const line = this.#rest + tail;
    const tooLong = this.#tooLong || line.length > longestLine;
    this.#rest = "";
    this.#tooLong = false;
    this.#take(tooLong ? undefined : line);
  }
}

/** Answers one line: what the answer function says of its JSON, or why there is none. Never throws. */
const answerLine = (
  text: string | undefined,
  line: number,
  answer: (value: unknown) => Outcome<object>,
): Outcome<object> => {
  if (text === undefined) return malformed(line, `it is longer than ${longestLine} characters`);
  if (text.trim() === "") return malformed(line, "it is empty");
  let value: unknown;
  try {
    value = JSON.parse(line === 1 && text.startsWith("\uFEFF") ? text.slice(1) : text);
  } catch (thrown) {
    return malformed(line, thrown instanceof Error ? thrown.message : String(thrown));
  }
  try {
    return answer(value);
  } catch (thrown) {
    return { ok: false, fault: faultValue(thrown) };
  }
};

/**
 * JSON Lines in, one line out per line in, in order: the answer, or `{"error":…}` in its place. Reads no faster than the
 * reader of the output takes, so a pipe of any length needs little memory. A reader that goes away ends it quietly.
 */
export const answerLines = async (
  surroundings: Surroundings,
  answer: (value: unknown) => Outcome<object>,
): Promise<ExitCode> => {
  const { stdin, stdout, signal } = surroundings;
  const gone = new AbortController();
  const onOutputError = (error: unknown): void => gone.abort(error);
  const onStop = (): void => void stdin.destroy();
  stdout.on("error", onOutputError);
  signal.addEventListener("abort", onStop, { once: true });
  gone.signal.addEventListener("abort", onStop, { once: true });

  let count = 0;
  let failed = 0;
  let pending = "";
  const cutter = new LineCutter((text) => {
    count += 1;
    const outcome = answerLine(text, count, answer);
    if (!outcome.ok) failed += 1;
    pending += `${JSON.stringify(outcome.ok ? outcome.value : { error: outcome.fault })}\n`;
  });
  const flush = async (): Promise<void> => {
    const text = pending;
    pending = "";
    if (text === "" || stdout.write(text)) return;
    await once(stdout, "drain", { signal: gone.signal });
  };
  try {
    stdin.setEncoding("utf8");
    for await (const chunk of stdin as AsyncIterable<string>) {
      // Bounded slices keep the output flowing while a very large chunk is worked on.
      for (let from = 0; from < chunk.length; from += writeSize) {
        cutter.push(chunk.slice(from, from + writeSize));
        await flush();
      }
    }
    cutter.end();
    await flush();
  } catch (thrown) {
    if (gone.signal.aborted && !isClosedPipe(gone.signal.reason)) throw gone.signal.reason;
    if (!gone.signal.aborted && !signal.aborted) throw thrown;
  } finally {
    stdout.off("error", onOutputError);
    signal.removeEventListener("abort", onStop);
  }
  return failed > 0 ? 1 : 0;
};

const isClosedPipe = (reason: unknown): boolean =>
  reason instanceof Error && "code" in reason && reason.code === "EPIPE";

/** An object with only these keys, or a sentence about what it should be. */
export const readObject = (value: unknown, keys: readonly string[]): Outcome<Readonly<Record<string, unknown>>> => {
  if (typeof value !== "object" || value === null || Array.isArray(value)) {
    return failure("input.invalid", `A line must be a JSON object with ${keys.join(", ")}.`);
  }
  const unknown = Object.keys(value).find((key) => !keys.includes(key));
  if (unknown !== undefined) {
    return failure("input.invalid", `There is no field "${unknown}" here. The fields are ${keys.join(", ")}.`, {
      field: unknown,
    });
  }
  return { ok: true, value: value as Readonly<Record<string, unknown>> };
};

/** A finite number of a field, or a sentence. JSON that writes 1e999 gives an infinity, which is refused too. */
export const readFiniteNumber = (field: string, value: unknown): Outcome<number> =>
  typeof value === "number" && Number.isFinite(value)
    ? { ok: true, value }
    : failure("input.invalid", `Field "${field}" must be a finite number.`, { field });

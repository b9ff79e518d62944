import { createInterface } from "node:readline/promises";
import type { Readable, Writable } from "node:stream";

/**
 * Asks a person for one of some words; the first letter is enough. Asks again when the answer is none of them. Null when
 * the input has ended or the signal is aborted: then nobody answers.
 */
export const askOneOf = async <T extends string>(
  streams: { readonly stdin: Readable; readonly stdout: Writable },
  question: string,
  answers: readonly { readonly word: T; readonly meaning: string }[],
  signal: AbortSignal,
): Promise<T | null> => {
  const terminal = createInterface({ input: streams.stdin, output: streams.stdout });
  const choices = answers.map(({ word, meaning }) => `[${word[0]}]${word.slice(1)} ${meaning}`.trim()).join("   ");
  const ended = new Promise<null>((resolve) => {
    terminal.once("close", () => resolve(null));
    signal.addEventListener("abort", () => resolve(null), { once: true });
  });
  try {
    for (;;) {
      const given = await Promise.race([terminal.question(`${question}\n${choices}\n> `), ended]);
      if (given === null) return null;
      const letters = given.trim().toLowerCase();
      const chosen = answers.find(({ word }) => letters !== "" && word.startsWith(letters));
      if (chosen !== undefined) return chosen.word;
    }
  } finally {
    terminal.close();
  }
};

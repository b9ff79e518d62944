import type { EngineView } from "#engine";
import type { Surroundings } from "../command.ts";
import { askOneOf } from "../terminal/ask.ts";
import { isTerminal, type Progress } from "./progress.ts";
import type { Answer } from "./conduct.ts";

const meanings = {
  resume: "and approach the point again",
  skip: "this point",
  confirm: "that the item is adjusted",
  placed: "that the thermometers are where the check wants them",
  omit: "the closing check",
  leave: "it paused and go on later",
  end: "the run for good",
} as const;

type Word = keyof typeof meanings;

const answers: Readonly<Record<Word, Answer>> = {
  resume: "resume",
  skip: "skip-point",
  confirm: "confirm-adjustment",
  placed: "confirm-check",
  omit: "skip-check",
  leave: "leave",
  end: "stop",
};

/** Asks the person at the terminal what to do when a run waits; null where input or output is no terminal. */
export const askOperator = (
  surroundings: Surroundings,
  progress: Progress,
): ((view: EngineView) => Promise<Answer>) | null => {
  const { stdin, stdout, signal } = surroundings;
  if (!isTerminal(stdout) || (stdin as { isTTY?: boolean }).isTTY !== true) return null;
  return async (view) => {
    progress.close();
    const words: Word[] = view.commands.includes("confirm-adjustment")
      ? ["confirm", "leave", "end"]
      : view.commands.includes("confirm-check")
        ? ["placed", "omit", "leave", "end"]
        : view.commands.includes("skip-check")
          ? ["resume", "omit", "leave", "end"]
          : ["resume", "skip", "leave", "end"];
    const question = `${view.sentence.happening} ${view.sentence.now}`;
    const word = await askOneOf(
      { stdin, stdout },
      question,
      words.map((each) => ({ word: each, meaning: meanings[each] })),
      signal,
    );
    return word === null ? "leave" : answers[word];
  };
};

import { parseArgs, type ParseArgsOptionsConfig } from "node:util";
import { Fault } from "#fault";

/** The words of a command line, told apart; a word that the command does not know is wrong usage, said with its name. */
export const readWords = <O extends ParseArgsOptionsConfig>(command: string, words: readonly string[], options: O) => {
  try {
    return parseArgs({ args: [...words], options, allowPositionals: true, strict: true });
  } catch (error) {
    const reason = error instanceof Error ? (error.message.split(". ")[0] ?? error.message) : String(error);
    throw new Fault("usage.wrong", `${reason}. dwellpoint ${command} --help tells what it takes.`, { cause: error });
  }
};

/** A number that was given as a word, within limits; `name` is the option's name for the sentence. */
export const readNumber = (
  name: string,
  word: string,
  limits: { least: number; most: number; whole?: boolean },
): number => {
  const value = word.trim() === "" ? Number.NaN : Number(word);
  const fits =
    Number.isFinite(value) &&
    value >= limits.least &&
    value <= limits.most &&
    (limits.whole !== true || Number.isInteger(value));
  if (!fits) {
    const kind = limits.whole === true ? "a whole number" : "a number";
    throw new Fault("usage.wrong", `--${name} wants ${kind} from ${limits.least} to ${limits.most}, not "${word}".`);
  }
  return value;
};

/** `--speed`: how many times faster than real time, or `max`; Infinity stands for as fast as the machine can. */
export const readSpeed = (word: string): number =>
  word === "max" ? Number.POSITIVE_INFINITY : readNumber("speed", word, { least: 0.01, most: 1_000_000 });

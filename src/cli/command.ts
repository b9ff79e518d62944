import type { Readable, Writable } from "node:stream";

/** What a command may touch of the process. Tests give it streams of their own. */
export interface Surroundings {
  readonly stdin: Readable;
  readonly stdout: Writable;
  readonly stderr: Writable;
  readonly environment: Readonly<Record<string, string | undefined>>;
  /** Aborted at SIGINT or SIGTERM: finish safely and return. */
  readonly signal: AbortSignal;
  /** Folder of the program itself: where `catalog/` and the built pages are. */
  readonly home: string;
}

/** 0 all well, 1 something in the input could not be done, 2 wrong usage. */
export type ExitCode = 0 | 1 | 2;

export interface Command {
  readonly name: string;
  /** One line for the list of commands. */
  readonly summary: string;
  /** The whole text of `--help`. */
  readonly help: string;
  run(words: readonly string[], surroundings: Surroundings): Promise<ExitCode>;
}

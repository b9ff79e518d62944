import { createInterface } from "node:readline";
import type { Readable } from "node:stream";
import { z } from "zod";
import type { Job } from "#calibration";
import { runCommandSchema } from "#contract";
import type { EngineView, RunCommand } from "#engine";
import { Fault } from "#fault";
import { engineCommand } from "#station";
import { wantedOfPerson, type WantedOfPerson } from "./wanted-of-person.ts";

/** A line may be a whole command, or just the digits of what is asked for: {"typed":"50,2"}. */
const lineSchema = z.union([runCommandSchema, z.strictObject({ typed: z.string().min(1).max(60) })]);

const commandFor = (wanted: WantedOfPerson, typed: string): Record<string, unknown> => {
  switch (wanted.kind) {
    case "check":
      return { command: "record-check", value: Number(typed.replace(",", ".")) };
    case "set-point":
      return { command: "confirm-set-point", typed };
    case "answer":
    case "reading":
      return { command: "enter-reading", channel: wanted.channel, typed };
  }
};

/**
 * Answers from a pipe, where there is no terminal: JSON Lines on the standard input, read as something is asked for. The end of
 * the input means that nobody answers any more.
 */
export class TypedAnswers {
  readonly #stdin: Readable;
  readonly #waiting: string[] = [];
  #begun = false;
  #ended = false;
  #line = 0;
  #arrived: (() => void) | null = null;

  constructor(stdin: Readable) {
    this.#stdin = stdin;
  }

  #begin(): void {
    if (this.#begun) return;
    this.#begun = true;
    const lines = createInterface({ input: this.#stdin });
    lines.on("line", (text) => {
      if (text.trim() !== "") this.#waiting.push(text);
      this.#arrived?.();
    });
    lines.on("close", () => {
      this.#ended = true;
      this.#arrived?.();
    });
  }

  /** Lets the standard input go, so that the program can end. */
  close(): void {
    if (this.#begun) this.#stdin.destroy();
  }

  /** The next line as a command; null when the input has ended or nobody waits for it any more. */
  async next(view: EngineView, job: Job, by: string, signal: AbortSignal): Promise<RunCommand | null> {
    this.#begin();
    while (this.#waiting.length === 0 && !this.#ended && !signal.aborted) {
      await new Promise<void>((resolve) => {
        this.#arrived = resolve;
        signal.addEventListener("abort", () => resolve(), { once: true });
      });
    }
    if (signal.aborted) return null;
    const text = this.#waiting.shift();
    if (text === undefined) return null;
    this.#line += 1;
    return this.#command(text, view, job, by);
  }

  #command(text: string, view: EngineView, job: Job, by: string): RunCommand {
    let value: unknown;
    try {
      value = JSON.parse(text);
    } catch (cause) {
      throw new Fault("input.malformed", `Standard input, line ${this.#line}, is not JSON. Give one answer a line.`, {
        cause,
      });
    }
    const parsed = lineSchema.safeParse(value);
    const wanted = wantedOfPerson(view);
    if (!parsed.success || wanted === null)
      throw new Fault(
        "input.invalid",
        `Standard input, line ${this.#line}: give {"typed":"50.2"} for what is asked, or a command: {"command":"enter-reading","channel":"item-1","typed":"50.2"}.`,
      );
    const given = "command" in parsed.data ? parsed.data : commandFor(wanted, parsed.data.typed);
    const command = runCommandSchema.parse(given);
    return engineCommand({ ...command, by: command.by ?? by }, job);
  }
}

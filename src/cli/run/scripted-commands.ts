import { z } from "zod";
import { passes, type Job } from "#calibration";
import { runCommandSchema, type RunCommand } from "#contract";
import type { EngineView, Runner } from "#engine";
import { Fault, type FaultValue } from "#fault";
import { engineCommand } from "#station";
import { readNamedFile } from "./read-job.ts";

const point = z.int().min(0).describe("index of the point, from 0");
const pass = z.enum(passes).optional();

/** When a command is given: as soon as the run shows this. */
const whenSchema = z.union([
  z.strictObject({ at: z.number().nonnegative().describe("the run's clock has come to so many seconds") }),
  z.strictObject({ reached: point, pass }).describe("the run is at this point"),
  z.strictObject({ measured: point, pass }).describe("this point is measured"),
  z.strictObject({ stage: z.enum(["settling", "measuring", "adjusting", "checking", "paused"]) }),
  z.strictObject({ asked: z.string().min(1).describe("a person is asked to read this channel") }),
  z.strictObject({ allowed: z.string().min(1).describe("this command can be asked") }),
]);

const scriptedSchema = runCommandSchema.extend({ when: whenSchema.optional() });

type When = z.infer<typeof whenSchema>;

interface Scripted {
  readonly line: number;
  readonly command: RunCommand;
  readonly when: When | undefined;
}

const isDue = (when: When | undefined, view: EngineView): boolean => {
  if (when === undefined) return view.stage !== "ready";
  if ("at" in when) return view.at >= when.at;
  if ("stage" in when) return view.stage === when.stage;
  if ("asked" in when) return view.hand?.asked?.channels.includes(when.asked) === true;
  if ("allowed" in when) return view.commands.some((command) => command === when.allowed);
  const wanted = "reached" in when ? when.reached : when.measured;
  const fits = (stop: { readonly pass: string | null; readonly point: number | null }): boolean =>
    stop.point === wanted && (when.pass === undefined || stop.pass === when.pass);
  return "reached" in when ? fits(view) : view.route.some((stop) => fits(stop) && stop.status === "measured");
};

const parseLine = (text: string, line: number, name: string): Scripted => {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (cause) {
    throw new Fault("input.malformed", `${name}:${line} is not JSON. Give one command a line.`, {
      cause,
      data: { line },
    });
  }
  const parsed = scriptedSchema.safeParse(value);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    const path = issue?.path.map(String).join(".") ?? "";
    throw new Fault("input.invalid", `${name}:${line}: ${path === "" ? "" : `${path}: `}${issue?.message ?? ""}.`, {
      data: { line },
    });
  }
  const { when, ...command } = parsed.data;
  return { line, command, when };
};

/** Commands from a file, each given when the run shows what it waits for; in their order, one after the other. */
export class ScriptedCommands {
  readonly #waiting: Scripted[];
  readonly #refused: FaultValue[] = [];
  readonly #name: string;
  #giving: Promise<void> | null = null;
  #looked: (() => void)[] = [];

  constructor(commands: readonly Scripted[], name: string) {
    this.#waiting = [...commands];
    this.#name = name;
  }

  /** Gives the next command if it is due. `by`: who is at the bench where the command names nobody. */
  note(view: EngineView, runner: Runner, job: Job, by: string): void {
    const looked = this.#looked;
    this.#looked = [];
    for (const resolve of looked) resolve();
    const [next] = this.#waiting;
    if (next === undefined || this.#giving !== null || !isDue(next.when, view)) return;
    this.#waiting.shift();
    const { command, line } = next;
    this.#giving = this.#give(runner, { ...command, by: command.by ?? by }, job, line).finally(() => {
      this.#giving = null;
      this.note(runner.view(), runner, job, by);
    });
  }

  async #give(runner: Runner, command: RunCommand, job: Job, line: number): Promise<void> {
    const refuse = ({ code, message }: FaultValue): void =>
      void this.#refused.push({ code, message: `${this.#name}:${line} (${command.command}): ${message}` });
    try {
      const answer = await runner.command(engineCommand(command, job));
      if (!answer.ok) refuse(answer.fault);
    } catch (thrown) {
      if (!(thrown instanceof Fault)) throw thrown;
      refuse({ code: thrown.code, message: thrown.message });
    }
  }

  /** Resolves once the command that is being given has been answered, or the run has shown itself again. */
  async settled(): Promise<void> {
    if (this.#giving !== null) return this.#giving;
    return new Promise((resolve) => {
      this.#looked.push(resolve);
    });
  }

  /** Whether a command is being given, or the next one is due as the run stands or will be by the clock alone. */
  isBusy(view: EngineView): boolean {
    const [next] = this.#waiting;
    if (this.#giving !== null) return true;
    if (next === undefined) return false;
    return isDue(next.when, view) || (next.when !== undefined && "at" in next.when);
  }

  /** What was refused, and what never came to its turn. */
  complaints(): readonly FaultValue[] {
    const left = this.#waiting.map(({ line, command }) => ({
      code: "run.not-allowed" as const,
      message: `${this.#name}:${line} (${command.command}) was not given: the run never showed what it waits for.`,
    }));
    return [...this.#refused, ...left];
  }
}

/** Reads commands from a file of JSON Lines. The first line that cannot be used is thrown with its number. */
export const readScriptedCommands = async (path: string): Promise<ScriptedCommands> => {
  const lines = (await readNamedFile(path, "commands")).split(/\r?\n/);
  const commands = lines.flatMap((text, index) => (text.trim() === "" ? [] : [parseLine(text, index + 1, path)]));
  return new ScriptedCommands(commands, path);
};

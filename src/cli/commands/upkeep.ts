import { resolve } from "node:path";
import { Fault, unwrap } from "#fault";
import {
  evaluateUpkeep,
  resultLines,
  stepLines,
  stepsOf,
  upkeepKinds,
  usualPlan,
  type UpkeepKind,
  type UpkeepPlan,
} from "#upkeep";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { isTerminal } from "../run/progress.ts";
import { chooseDataFolder } from "../serve/data-folder.ts";
import { runProcedure } from "../upkeep/run-procedure.ts";
import { readEntries, readProcedure, readUpkeepDocument } from "../upkeep/upkeep-file.ts";
import { readNumber, readSpeed, readWords } from "../words.ts";

const help = `
dwellpoint upkeep plan KIT KIND | PROCEDURE [--text|--json]
dwellpoint upkeep evaluate DOCUMENT [--text|--json]
dwellpoint upkeep run PROCEDURE --out DIR [--speed N] [--seed S] [--yes] [--text|--json]
dwellpoint upkeep keep DOCUMENT [--data DIR] [--approve --by NAME --reason TEXT]

The kit's own proof: a heat source characterised, stem conduction by a pull test, self-heating by two currents, a reference
checked in ice or at the triple point of water. KIND is ${upkeepKinds.join(", ")}.

plan      the guided steps in order, each with its caution. KIT is a kit or job file with a source or a reference: the usual
          procedure for it. PROCEDURE is a file of your own (test, bench)
evaluate  a DOCUMENT (what was read, typed or taken by run) to its result: figures with their uncertainty, limits for the budget,
          what changes in the kit entry
run       conducts a procedure on the bench that it names: sets the source, waits until the thermometers' difference has settled,
          asks for what must be moved, reads; writes the document and its result into DIR
keep      puts a document into the records as a finding of its kit entry; a check takes the earlier ones as its history.
          With --approve its outcome becomes the kit entry's next revision

  --out DIR      folder for the files; made where it does not exist
  --speed N      simulated bench: N times faster than real time, or max; 1 where it is left out
  --seed S       simulated bench: noise follows from it; 1 where it is left out
  --yes          simulated bench: nobody is asked to move anything
  --data DIR     the records' folder; DWELLPOINT_DATA, or the user's own, where it is left out. A station on it must be stopped
  --approve      --by and --reason say who takes the outcome over, and why
  --text         lines for people (usual on a terminal);  --json  JSON (usual in a pipe)

Hot wells and probes burn, and hot sources are not moved: the steps say when to let it cool. Site rules and licensed people come
first. Exit 0 all well, 1 something in the input could not be done, 2 wrong usage.
`;

const options = {
  out: { type: "string" },
  speed: { type: "string" },
  seed: { type: "string" },
  data: { type: "string" },
  by: { type: "string" },
  reason: { type: "string" },
  approve: { type: "boolean" },
  yes: { type: "boolean" },
  text: { type: "boolean" },
  json: { type: "boolean" },
} as const;

type Values = {
  readonly [K in keyof typeof options]?: (typeof options)[K]["type"] extends "string" ? string : boolean;
};

const wrong = (message: string): Fault => new Fault("usage.wrong", `${message} dwellpoint upkeep --help tells more.`);

const oneFile = (task: string, files: readonly string[]): string => {
  const [file, ...more] = files;
  if (file === undefined || more.length > 0) throw wrong(`upkeep ${task} wants one file.`);
  return file;
};

const readKind = (word: string): UpkeepKind => {
  const kind = upkeepKinds.find((each) => each === word);
  if (kind === undefined) throw wrong(`"${word}" is no kind of test; there are ${upkeepKinds.join(", ")}.`);
  return kind;
};

const planFor = async (words: readonly string[]): Promise<UpkeepPlan> => {
  const [file, kind, ...more] = words;
  if (file === undefined || more.length > 0) throw wrong("upkeep plan wants a kit file and a kind, or a procedure.");
  if (kind === undefined) return (await readProcedure(file)).test;
  return unwrap(usualPlan(readKind(kind), await readEntries(file), "the person at the bench"));
};

const forPeople = ({ stdout }: Surroundings, values: Values): boolean => {
  if (values.text === true && values.json === true) throw wrong("--text and --json exclude each other.");
  return values.text === true || (values.json !== true && isTerminal(stdout));
};

const print = (surroundings: Surroundings, values: Values, lines: () => string[], record: unknown): ExitCode => {
  surroundings.stdout.write(
    forPeople(surroundings, values) ? `${lines().join("\n")}\n` : `${JSON.stringify(record)}\n`,
  );
  return 0;
};

const approvalOf = (values: Values): { readonly by: string; readonly reason: string } | null => {
  if (values.approve !== true) {
    if (values.by !== undefined || values.reason !== undefined) throw wrong("--by and --reason go with --approve.");
    return null;
  }
  const { by = "", reason = "" } = values;
  if (by.trim() === "" || reason.trim() === "")
    throw wrong("--approve wants --by with a name and --reason with a reason.");
  return { by, reason };
};

const tasks: Readonly<
  Record<string, (words: readonly string[], values: Values, surroundings: Surroundings) => Promise<ExitCode>>
> = {
  plan: async (words, values, surroundings) => {
    const plan = await planFor(words);
    const steps = stepsOf(plan);
    return print(surroundings, values, () => stepLines(steps), { kind: plan.kind, steps });
  },
  evaluate: async (words, values, surroundings) => {
    const result = unwrap(evaluateUpkeep(await readUpkeepDocument(oneFile("evaluate", words))));
    return print(surroundings, values, () => resultLines(result), result);
  },
  run: async (words, values, surroundings) => {
    const file = oneFile("run", words);
    if (values.out === undefined) throw wrong("upkeep run wants --out with a folder for the files.");
    return runProcedure(surroundings, {
      file,
      out: resolve(values.out),
      speed: values.speed === undefined ? 1 : readSpeed(values.speed),
      seed:
        values.seed === undefined ? 1 : readNumber("seed", values.seed, { least: 0, most: 4_294_967_295, whole: true }),
      yes: values.yes === true,
      text: forPeople(surroundings, values),
    });
  },
  keep: async (words, values, surroundings) => {
    const { environment, home } = surroundings;
    // Only this task needs the records and what the station makes of them.
    const { keepDocument } = await import("../upkeep/keep-document.ts");
    return keepDocument(surroundings, {
      file: oneFile("keep", words),
      data: chooseDataFolder({ word: values.data, demo: false, environment, home }),
      approve: approvalOf(values),
    });
  },
};

/** `upkeep`: the kit's own proof, planned, conducted, evaluated and kept. */
export const upkeep: Command = {
  name: "upkeep",
  summary: "the kit's own proof: source characterised, pull test, two currents, ice point",
  help,
  run: async (words, surroundings) => {
    const { values, positionals } = readWords("upkeep", words, options);
    const [task = "", ...rest] = positionals;
    const carryOut = tasks[task];
    if (carryOut === undefined)
      throw wrong(`upkeep wants plan, evaluate, run or keep${task === "" ? "" : `, not "${task}"`}.`);
    // Before any work is done for it.
    forPeople(surroundings, values as Values);
    return carryOut(rest, values as Values, surroundings);
  },
};

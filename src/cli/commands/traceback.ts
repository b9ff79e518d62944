import { readFile, writeFile } from "node:fs/promises";
import { Fault, unwrap } from "#fault";
import { loadDocument } from "#intake";
import { withWorkforce } from "#parallel";
import { openRecords } from "#records";
import { traceRecords } from "#station";
import { suspicionSchema, traceCsv, type Suspicion, type Trace, type TracedRun } from "#traceback";
import type { Command, Surroundings } from "../command.ts";
import { readWords } from "../words.ts";

const help = `
dwellpoint traceback SUSPICION --data DIR [--rehearsals] [--csv FILE] [--text]

A reference or readout was found out of tolerance, or a coefficient in its entry was wrong: every run in the records of DIR
that used it since its last good evidence is evaluated again as if it had been right, and so is everything measured with
references that were calibrated with it. Nothing in the records is changed. The station on DIR must be stopped meanwhile.

SUSPICION is a file (YAML or JSON):
  kit:        { kind: reference, serial: "…" }    with entry and revision, where only one revision was wrong
  good:       2025-01-01                          day of the last good evidence (calibration, check)
  bad:        2026-01-01                          day on which it was found out
  correction: { kind: differences, table: [{ at: 0, add: 0.12, u: 0.01 }, …] }   °C, K to be added, standard uncertainty
              { kind: coefficients, sensor: {…} }                                the sensor as it should have been written
  course:     { kind: step }                      whole from the day after good on: the worst
              { kind: linear } | { kind: unknown } | { kind: checks, shares: [{ day, share }, …] }
  significant: 0.33                               acted upon where a result moves by more than this share of its U
  reason:     words

out  {"suspicion","runs":[{"run","customer","certificates","results":[{"tag","nominal","before","after","moved","share","statement","act"}]}],
      "unreadable","descendants","count","toTell"}
  --csv FILE     the list as a table too, a row for each result
  --rehearsals   runs that were rehearsals too
  --text         for people, not for programs

Exit 0 when all runs were evaluated, 1 when one could not be (it is named), 2 wrong usage.
`;

const readSuspicion = async (file: string): Promise<Suspicion> => {
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (cause) {
    throw new Fault("input.invalid", `The file ${file} cannot be read. Give the path of a suspicion.`, { cause });
  }
  return unwrap(loadDocument(text, file, suspicionSchema));
};

const number = (value: number, places = 3): string => `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(places)}`;

const runLines = (run: TracedRun): string[] => [
  `${run.run}  ${run.opened.slice(0, 10)}  ${run.customer.name}, ${run.place}` +
    (run.certificates.length === 0 ? "" : `  certificate ${run.certificates.join(", ")}`) +
    (run.generation === 0 ? "" : `  through ${run.through}`),
  ...run.results.map(({ tag, pass, nominal, before, after, moved, share, statement, act, reason }) => {
    const place = `  ${act ? "!" : " "} ${tag} ${pass} ${nominal} °C: `;
    if (after === null) return `${place}cannot be told any more: ${reason}`;
    const decisions =
      statement === "stands"
        ? `${before.decision ?? "no statement"} stands`
        : `${before.decision ?? "no statement"} becomes ${after.decision ?? "no statement"}`;
    return `${place}error ${number(before.error)} K becomes ${number(after.error)} K, moved by ${number(moved!)} K (${(share! * 100).toFixed(0)} % of U); ${decisions}`;
  }),
];

/** The trace in words: the counts, who must be told, then run by run. */
const inWords = (trace: Trace): string => {
  const { count, toTell, descendants, unreadable } = trace;
  const lines = [
    `${count.results} results of ${count.runs} runs evaluated again: ${count.changes} statements change, ${count.cannotTell} cannot be told any more, ${count.stands} stand; ${count.act} are to be acted upon.`,
    ...descendants.map(
      ({ entry, serial, certificate }) =>
        `The reference ${entry} (${serial}) was calibrated with it, certificate ${certificate}: followed too.`,
    ),
    ...unreadable.map(({ run, fault }) => `Run ${run} could not be evaluated: ${fault.message}`),
    ...(toTell.length === 0 ? ["Nobody needs to be told."] : ["", "To be told:"]),
    ...toTell.map(
      ({ customer, contact, runs, certificates, changes }) =>
        `  ${customer}${contact === null ? "" : ` (${contact})`}: ${changes} changed statements, runs ${runs.join(", ")}${certificates.length === 0 ? "" : `, certificates ${certificates.join(", ")}`}`,
    ),
    "",
    ...trace.runs.flatMap(runLines),
  ];
  return `${lines.join("\n")}\n`;
};

const followed = (
  suspicion: Suspicion,
  data: string,
  rehearsals: boolean,
  { stderr, signal }: Surroundings,
): Promise<Trace> =>
  withWorkforce({}, async (force) => {
    const records = await openRecords(data);
    try {
      const isTerminal = "isTTY" in stderr && stderr.isTTY === true;
      return await traceRecords(records, force, suspicion, {
        rehearsals,
        signal,
        onProgress: ({ generation, done, of }) => {
          if (isTerminal)
            stderr.write(`\r${done} of ${of} runs${generation === 0 ? "" : `, ${generation} references on`}   `);
        },
      });
    } finally {
      await records.close();
    }
  });

export const traceback: Command = {
  name: "traceback",
  summary: "a reference found out: which results and statements move with it, and who must be told",
  help,
  run: async (words, surroundings) => {
    const { values, positionals } = readWords("traceback", words, {
      data: { type: "string" },
      csv: { type: "string" },
      rehearsals: { type: "boolean" },
      text: { type: "boolean" },
    });
    const [file, ...more] = positionals;
    if (file === undefined || more.length > 0 || values.data === undefined)
      throw new Fault(
        "usage.wrong",
        "traceback wants one suspicion and --data. dwellpoint traceback --help tells more.",
      );
    const suspicion = await readSuspicion(file);
    const trace = await followed(suspicion, values.data, values.rehearsals === true, surroundings);
    if (values.csv !== undefined) await writeFile(values.csv, traceCsv(trace));
    surroundings.stdout.write(values.text === true ? inWords(trace) : `${JSON.stringify(trace)}\n`);
    return trace.unreadable.length === 0 ? 0 : 1;
  },
};

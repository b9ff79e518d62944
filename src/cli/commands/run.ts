import { resolve } from "node:path";
import { Fault } from "#fault";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { openNewRun, resumeRun } from "../run/carry-out.ts";
import { readProbeWish } from "../run/plugged.ts";
import { readScriptedCommands } from "../run/scripted-commands.ts";
import { runFromReadings } from "../run/recorded-elsewhere.ts";
import { readNumber, readSpeed, readWords } from "../words.ts";

const help = `
dwellpoint run JOB --out DIR [--speed N] [--seed S] [--operator NAME] [--commands FILE] [--although REASON]
dwellpoint run JOB --readings FILE --out DIR [--started UTC] [--mapping FILE] [--sheet NAME]
dwellpoint run --resume LOG [--speed N] [--adjusted] [--operator NAME] [--commands FILE]

Conducts a job on the bench that it names: takes the source from point to point, waits until the difference between
item and reference has settled, reads, and goes on. Writes DIR/RUN.log.jsonl as it goes (each line safe on disk before
anything follows from it), then DIR/RUN.result.json and the certificate as PDF and XML.

  --out DIR        folder for the files; made where it does not exist
  --speed N        simulated bench: N times faster than real time, or max; 1 where it is left out
  --seed S         simulated bench: what is hidden and what is random follows from it; drawn where it is left out
  --operator NAME  who is at the bench; the job's technician where it is left out
  --although REASON  runs a job that its plan refuses, because it could prove nothing or its kit does not fit; the reason and
                   the operator's name stand in the log. Limits and calibrations that are over cannot be set aside
  --probe job|plugged  where the readout says that another reference is plugged in than the job's: it is the job's all the same,
                   or the plugged-in one is taken with its newest revision. Without it such a run is refused before it begins
  --data DIR       records in which the other probe is known
  --readings FILE  readings recorded elsewhere in place of a bench: CSV or XLSX with the columns time, channel, value, unit;
                   pass and point if wanted. Other columns need a mapping
  --mapping FILE   with --readings: what the columns mean (YAML or JSON). It is kept, and used again for files of the same shape
  --sheet NAME     with --readings: sheet of an XLSX workbook; the first where it is left out
  --started UTC    with --readings: when second 0 of the file was, where its times are seconds (2026-03-31T09:30:00Z)
  --resume LOG     goes on with a run that was broken off: earlier readings stay, the present point is approached anew
  --adjusted       with --resume: the adjustment by hand that the run waited for has been made
  --commands FILE  what is asked of the run on the way, JSON Lines, each when the run shows what it waits for:
                   {"command":"add-point","temperature":75,"reason":"in use there","when":{"reached":1}}
                   Commands: pause resume repeat-point skip-point add-point swap-points break replace-kit
                   confirm-adjustment confirm-check record-check skip-check enter-reading confirm-reading
                   withdraw-reading enough-readings confirm-set-point add-note stop. "when": {"at":s},
                   {"reached":point}, {"measured":point}, {"stage":"paused"}, {"allowed":"record-check"},
                   {"asked":"item-1"}

On a terminal it shows bars, prompts for what is read and set by hand, and asks when something is in the way. In a pipe it
writes JSON lines, the last one a summary; what is asked of hands is a line {"kind":"wanted",…}, and an answer is a line on
the standard input, {"typed":"50.2"} or a whole command. It leaves the run paused when somebody else is needed, or when the
input has ended. Simulated time stands still while hands are asked. Interrupting it (Ctrl-C) switches the source off at once,
whatever else hangs, ends the run and keeps the log. Where the job limits the time with nobody there (limits.unattended),
Enter on the terminal says that somebody is. Exit 0: completed with a certificate; 1: not; 2: wrong usage.
`;

const conductOrResume = async (words: readonly string[], surroundings: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("run", words, {
    out: { type: "string" },
    speed: { type: "string" },
    seed: { type: "string" },
    operator: { type: "string" },
    readings: { type: "string" },
    started: { type: "string" },
    mapping: { type: "string" },
    sheet: { type: "string" },
    resume: { type: "string" },
    adjusted: { type: "boolean" },
    commands: { type: "string" },
    although: { type: "string" },
    probe: { type: "string" },
    data: { type: "string" },
  });
  const speed = values.speed === undefined ? 1 : readSpeed(values.speed);
  const script = values.commands === undefined ? null : await readScriptedCommands(resolve(values.commands));
  const operator = values.operator?.trim();
  const although = values.although?.trim();
  if (although === "") throw new Fault("usage.wrong", "--although wants the reason.");
  if (operator === "") throw new Fault("usage.wrong", "--operator wants a name.");
  if (values.resume !== undefined) {
    const unfit = (
      ["out", "seed", "readings", "started", "mapping", "sheet", "although", "probe", "data"] as const
    ).find((name) => values[name] !== undefined);
    if (positionals.length > 0 || unfit !== undefined) {
      throw new Fault(
        "usage.wrong",
        `run --resume takes the log alone: job${unfit === undefined ? "" : ` and --${unfit}`} are in it already.`,
      );
    }
    return resumeRun(surroundings, {
      log: resolve(values.resume),
      speed,
      operator,
      adjusted: values.adjusted === true,
      script,
    });
  }
  const [job, ...more] = positionals;
  if (job === undefined || more.length > 0)
    throw new Fault("usage.wrong", "run wants one job file. dwellpoint run --help tells what it takes.");
  if (values.out === undefined)
    throw new Fault("usage.wrong", "run wants --out DIR, the folder for log, result and certificate.");
  if (values.adjusted === true) throw new Fault("usage.wrong", "--adjusted goes with --resume.");
  const seed =
    values.seed === undefined
      ? undefined
      : readNumber("seed", values.seed, { least: 0, most: 4_294_967_295, whole: true });
  if (values.readings !== undefined) {
    if (
      values.speed !== undefined ||
      seed !== undefined ||
      operator !== undefined ||
      although !== undefined ||
      script !== null
    ) {
      throw new Fault(
        "usage.wrong",
        "--readings stands in place of a bench: --speed, --seed, --operator, --although and --commands have nothing to act on.",
      );
    }
    return runFromReadings(surroundings, {
      job,
      readings: values.readings,
      out: resolve(values.out),
      started: values.started,
      mapping: values.mapping,
      sheet: values.sheet,
    });
  }
  const stray = (["started", "mapping", "sheet"] as const).find((name) => values[name] !== undefined);
  if (stray !== undefined) throw new Fault("usage.wrong", `--${stray} goes with --readings.`);
  const data = values.data === undefined ? undefined : resolve(values.data);
  const probe = { wish: readProbeWish(values.probe), data };
  return openNewRun(surroundings, { job, out: resolve(values.out), speed, seed, operator, although, script, probe });
};

export const run: Command = {
  name: "run",
  summary: "conduct a job: log, result and certificate",
  help,
  run: conductOrResume,
};

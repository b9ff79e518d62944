import { basename } from "node:path";
import { parseLog, type Job } from "#calibration";
import { obstaclesOf, settlingTarget } from "#engine";
import { Fault, unwrap } from "#fault";
import { loadKit } from "#intake";
import {
  compareKits,
  comparisonRecord,
  learnPace,
  planDay,
  planJob,
  planRecord,
  seenIn,
  timetableRecord,
  type Day,
  type JobPlan,
  type KitChoice,
  type KitComparison,
  type PlanContext,
  type SeenRun,
} from "#planning";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { readDayOption, readSpanOption, readTimeOption } from "../plan/clock-words.ts";
import { comparisonLines, planLines, timetableLines } from "../plan/plan-text.ts";
import { isTerminal } from "../run/progress.ts";
import { readJob, readNamedFile } from "../run/read-job.ts";
import { readWords } from "../words.ts";

const help = `
dwellpoint plan JOB [JOB…] [--kit FILE…] [--runs LOG…] [--day DATE] [--start HH:MM] [--end HH:MM] [--break HH:MM-HH:MM]

Says before anything is heated what a job will be able to prove: for each point the expected U (by the same evaluation
as a run, on foreseen readings), the tolerance, the test uncertainty ratio, the chances and risks of the decision rule and
the time with its interval; which kit entry limits the result and what would help most; the order of points that costs
least time; and a timetable of the day. Several jobs are planned as one day: what fits in the same wells goes together.

  --kit FILE…          kits to compare with the job's own: a YAML or JSON file with reference, readout, source, or some of them
  --runs LOG…          logs of earlier runs: the pace of their sources is learnt from them
  --day DATE           day of the work, for example 2026-11-25; today where it is left out
  --start HH:MM        when the work begins; 08:00 where it is left out
  --end HH:MM          when everything must be packed; what does not fit is said
  --break HH:MM-HH:MM  a break; nothing new is heated meanwhile
  --text               a table for people (usual on a terminal)
  --json               JSON (usual in a pipe)

Output: one JSON object: {"job","ready","items":[{"item","points":[{"temperature","expectedU","tolerance","ratio",
"conformanceProbability","specificRisk","globalRisk","time"}]}],"time","order","timetable","kits"?}; of several jobs
{"jobs":[…],"timetable"}. Temperatures in °C, U in K, times in s.

Exit 0 all well, 1 a job cannot prove anything or cannot be run as it is (the output and the error say why), 2 wrong usage.
`;

const lists = ["--kit", "--runs"] as const;

/** Takes the options that may have several words out: all the words that follow, up to the next option. */
const takeLists = (
  words: readonly string[],
): {
  readonly rest: readonly string[];
  readonly taken: Readonly<Record<(typeof lists)[number], readonly string[]>>;
} => {
  const taken: Record<string, string[]> = { "--kit": [], "--runs": [] };
  const rest: string[] = [];
  let into: string[] | null = null;
  for (const word of words) {
    const [name = "", inline] = word.split(/=(.*)/s);
    if (name in taken) {
      into = taken[name]!;
      if (inline !== undefined) into.push(inline);
    } else if (word.startsWith("--")) {
      into = null;
      rest.push(word);
    } else (into ?? rest).push(word);
  }
  for (const name of lists)
    if (words.some((word) => word === name || word.startsWith(`${name}=`)) && taken[name]!.length === 0)
      throw new Fault("usage.wrong", `${name} wants at least one file. dwellpoint plan --help tells more.`);
  return { rest, taken: taken as Record<(typeof lists)[number], string[]> };
};

const readEarlierRun = async (path: string): Promise<SeenRun[]> =>
  [seenIn(parseLog((await readNamedFile(path, "run log")).split("\n")))].filter((seen) => seen !== null);

const readKit = async (path: string): Promise<KitChoice> => {
  const { name, ...kit } = unwrap(loadKit(await readNamedFile(path, "kit file"), basename(path)));
  return { name: name ?? basename(path).replace(/\.(ya?ml|json)$/, ""), ...kit };
};

interface Planned {
  readonly job: Job;
  readonly context: PlanContext;
  readonly plan: JobPlan;
}

const planOne = async (path: string, day: string, seen: readonly SeenRun[]): Promise<Planned> => {
  const job = await readJob(path);
  const context: PlanContext = {
    day,
    target: settlingTarget,
    obstacles: obstaclesOf,
    learnt: learnPace(job, seen, settlingTarget),
  };
  return { job, context, plan: planJob(job, context) };
};

/** Why jobs cannot be done, as one fault: the first obstacle, with all of them in its data. */
const refusalOf = (planned: readonly Planned[]): Fault | null => {
  const obstacles = planned.flatMap(({ plan }) => plan.obstacles.map((obstacle) => ({ job: plan.job, ...obstacle })));
  const [first] = obstacles;
  if (first === undefined) return null;
  return new Fault(first.code, first.message, { data: { ...first.data, obstacles } });
};

const dayOf = (values: { readonly start?: string; readonly end?: string; readonly break?: string }): Day => {
  const start = readTimeOption("start", values.start ?? "08:00");
  const end = values.end === undefined ? null : readTimeOption("end", values.end);
  if (end !== null && end <= start) throw new Fault("usage.wrong", "--end must be later than --start on the same day.");
  return { start, end, pause: values.break === undefined ? null : readSpanOption("break", values.break) };
};

const write = (
  { stdout, stderr }: Surroundings,
  text: boolean,
  planned: readonly Planned[],
  comparison: KitComparison | null,
  day: Day,
): ExitCode => {
  const refusal = refusalOf(planned);
  const able = planned.filter(({ plan }) => plan.ready);
  const timetable =
    able.length === 0
      ? null
      : planDay(
          able.map(({ job, context }) => ({ job, target: context.target, learnt: context.learnt })),
          day,
        );
  if (text) {
    const lines = [
      ...planned.flatMap(({ job, plan }) => planLines(job, plan)),
      ...(comparison === null ? [] : comparisonLines(comparison)),
      ...(timetable === null ? [] : timetableLines(timetable)),
    ];
    stdout.write(`${lines.join("\n")}\n`);
  } else {
    const error = refusal === null ? {} : { error: refusal.toJSON().error };
    const common = timetable === null ? {} : { timetable: timetableRecord(timetable) };
    const kits = comparison === null ? {} : { kits: comparisonRecord(comparison) };
    const [first, ...more] = planned.map(({ plan }) => planRecord(plan));
    const record =
      more.length === 0 ? { ...error, ...first, ...common, ...kits } : { ...error, jobs: [first, ...more], ...common };
    stdout.write(`${JSON.stringify(record)}\n`);
  }
  if (refusal !== null) stderr.write(`${JSON.stringify(refusal)}\n`);
  return refusal === null ? 0 : 1;
};

/** `plan`: what jobs will prove, in which order, and how long the day will be. */
export const plan: Command = {
  name: "plan",
  summary: "what a job will prove, how long it takes, and in which order; kits compared",
  help,
  run: async (words, surroundings) => {
    const { rest, taken } = takeLists(words);
    const { values, positionals } = readWords("plan", rest, {
      day: { type: "string" },
      start: { type: "string" },
      end: { type: "string" },
      break: { type: "string" },
      text: { type: "boolean" },
      json: { type: "boolean" },
    });
    if (positionals.length === 0)
      throw new Fault("usage.wrong", "plan wants at least one job file. dwellpoint plan --help tells more.");
    if (values.text === true && values.json === true)
      throw new Fault("usage.wrong", "--text and --json exclude each other. Give one of them, or neither.");
    if (taken["--kit"].length > 0 && positionals.length > 1)
      throw new Fault("usage.wrong", "Kits are compared for one job at a time. Give one job file with --kit.");
    const day = readDayOption("day", values.day ?? new Date().toISOString().slice(0, 10));
    const window = dayOf(values as { start?: string; end?: string; break?: string });
    const seen = (await Promise.all(taken["--runs"].map(readEarlierRun))).flat();
    const kits = await Promise.all(taken["--kit"].map(readKit));
    const planned: Planned[] = [];
    for (const path of positionals) planned.push(await planOne(path, day, seen));
    const names = planned.map(({ job }) => job.job);
    const twice = names.find((name, index) => names.indexOf(name) !== index);
    if (twice !== undefined)
      throw new Fault(
        "usage.wrong",
        `Job ${twice} is there twice. Give each job once, or give one of them another number.`,
      );
    const [first] = planned;
    const comparison =
      kits.length === 0 ? null : compareKits(first!.job, [{ name: "The job's own" }, ...kits], first!.context);
    const text = values.text === true || (values.json !== true && isTerminal(surroundings.stdout));
    return write(surroundings, text, planned, comparison, window);
  },
};

import { z } from "zod";
import {
  benchSchema,
  foundSchema,
  instrumentTrialSchema,
  keptInstrumentSchema,
  stillThereSchema,
  switchedOffSchema,
  type FindInstrument,
  type InstrumentAt,
  type InstrumentQuestion,
  type KeepInstrument,
} from "./bench.ts";
import {
  certificateSummarySchema,
  eventsAnswerSchema,
  jobDetailSchema,
  jobSummarySchema,
  resultAnswerSchema,
  runSummarySchema,
  stationSchema,
} from "./jobs.ts";
import { dayPlanSchema, kitComparisonSchema, type DayQuestion } from "./plan.ts";
import { diagnosisAnswerSchema } from "./diagnosis.ts";
import { explanationSchema, offeredHistorySchema, validationSchema } from "./judging.ts";
import { problemSchema, type Problem } from "./problems.ts";
import { approachSchema, runViewSchema, type RunCommand } from "./run-view.ts";

/** Every path of the station's API, in one place for handlers, client and tests. */
export const paths = {
  station: "/api/station",
  jobs: "/api/jobs",
  job: (job: string) => `/api/jobs/${encodeURIComponent(job)}`,
  jobHistory: (job: string) => `/api/jobs/${encodeURIComponent(job)}/history`,
  jobRuns: (job: string) => `/api/jobs/${encodeURIComponent(job)}/runs`,
  jobOrder: (job: string) => `/api/jobs/${encodeURIComponent(job)}/order`,
  jobKits: (job: string) => `/api/jobs/${encodeURIComponent(job)}/kits`,
  day: (question: DayQuestion) =>
    `/api/day?${Object.entries(question)
      .filter(([, value]) => value !== undefined)
      .map(([name, value]) => `${name}=${encodeURIComponent(String(value))}`)
      .join("&")}`,
  run: (run: string) => `/api/runs/${encodeURIComponent(run)}`,
  runView: (run: string) => `/api/runs/${encodeURIComponent(run)}/view`,
  runStream: (run: string) => `/api/runs/${encodeURIComponent(run)}/stream`,
  runApproach: (run: string, pass: string, point: number) =>
    `/api/runs/${encodeURIComponent(run)}/approach?pass=${pass}&point=${point}`,
  runCommands: (run: string) => `/api/runs/${encodeURIComponent(run)}/commands`,
  runResult: (run: string) => `/api/runs/${encodeURIComponent(run)}/result`,
  runValidation: (run: string) => `/api/runs/${encodeURIComponent(run)}/validation`,
  runDiagnosis: (run: string) => `/api/runs/${encodeURIComponent(run)}/diagnosis`,
  runExplain: (run: string, item: string, pass: string, point: number) =>
    `/api/runs/${encodeURIComponent(run)}/explain?item=${encodeURIComponent(item)}&pass=${pass}&point=${point}`,
  runEvents: (run: string, numbers: readonly number[]) =>
    `/api/runs/${encodeURIComponent(run)}/events?n=${numbers.join(",")}`,
  runLog: (run: string) => `/api/runs/${encodeURIComponent(run)}/log`,
  runPreview: (run: string) => `/api/runs/${encodeURIComponent(run)}/preview.pdf`,
  runCertificate: (run: string) => `/api/runs/${encodeURIComponent(run)}/certificate`,
  bench: "/api/bench",
  benchTries: "/api/bench/tries",
  benchLive: "/api/bench/live",
  benchSearches: "/api/bench/searches",
  benchOff: "/api/bench/switch-off",
  benchInstruments: "/api/bench/instruments",
  benchInstrument: (name: string) => `/api/bench/instruments/${encodeURIComponent(name)}`,
  benchInstrumentCheck: (name: string) => `/api/bench/instruments/${encodeURIComponent(name)}/check`,
  certificates: "/api/certificates",
  certificatePdf: (number: string) => `/api/certificates/${encodeURIComponent(number)}.pdf`,
  certificateXml: (number: string) => `/api/certificates/${encodeURIComponent(number)}.xml`,
} as const;

/** What the client needs of the platform: the platform's own `fetch` fits. */
export type Fetch = (
  path: string,
  init?: { method?: string; headers?: Record<string, string>; body?: string },
) => Promise<{ readonly ok: boolean; readonly status: number; json(): Promise<unknown> }>;

/** A refusal by the station, with the problem it gave. */
export class StationRefusal extends Error {
  override readonly name = "StationRefusal";
  readonly problem: Problem["error"];
  readonly status: number;

  constructor(status: number, problem: Problem["error"]) {
    super(problem.message);
    this.status = status;
    this.problem = problem;
  }
}

/** Typed calls to the station; every answer is checked against its schema. */
export const createClient = (fetch: Fetch) => {
  const call = async <S extends z.ZodType>(
    schema: S,
    path: string,
    init?: { method: string; body?: unknown; text?: string },
  ): Promise<z.output<S>> => {
    const request =
      init === undefined
        ? {}
        : {
            method: init.method,
            headers: { "content-type": init.text === undefined ? "application/json" : "text/plain" },
            body: init.text ?? JSON.stringify(init.body ?? {}),
          };
    const answer = await fetch(path, request);
    const body = await answer.json();
    if (answer.ok) return schema.parse(body);
    const problem = problemSchema.safeParse(body);
    throw new StationRefusal(
      answer.status,
      problem.success
        ? problem.data.error
        : { code: "internal", message: `The station answered with status ${answer.status}.` },
    );
  };
  return {
    station: () => call(stationSchema, paths.station),
    jobs: () => call(z.array(jobSummarySchema), paths.jobs),
    job: (job: string) => call(jobDetailSchema, paths.job(job)),
    addJob: (text: string) => call(jobSummarySchema, paths.jobs, { method: "POST", text }),
    history: (job: string) => call(offeredHistorySchema, paths.jobHistory(job)),
    startRun: (job: string, body: { speed?: number; seed?: number; history?: boolean }) =>
      call(runSummarySchema, paths.jobRuns(job), { method: "POST", body }),
    takeOrder: (job: string, points: readonly number[]) =>
      call(jobDetailSchema, paths.jobOrder(job), { method: "POST", body: { points } }),
    kits: (job: string) => call(kitComparisonSchema, paths.jobKits(job)),
    day: (question: DayQuestion) => call(dayPlanSchema, paths.day(question)),
    run: (run: string) => call(runSummarySchema, paths.run(run)),
    runView: (run: string) => call(runViewSchema, paths.runView(run)),
    approach: (run: string, pass: string, point: number) => call(approachSchema, paths.runApproach(run, pass, point)),
    command: (run: string, body: RunCommand) => call(runViewSchema, paths.runCommands(run), { method: "POST", body }),
    result: (run: string) => call(resultAnswerSchema, paths.runResult(run)),
    diagnosis: (run: string) => call(diagnosisAnswerSchema, paths.runDiagnosis(run)),
    validate: (run: string) => call(validationSchema, paths.runValidation(run), { method: "POST" }),
    cancelValidation: (run: string) => call(validationSchema, paths.runValidation(run), { method: "DELETE" }),
    explain: (run: string, item: string, pass: string, point: number) =>
      call(explanationSchema, paths.runExplain(run, item, pass, point)),
    events: (run: string, numbers: readonly number[]) => call(eventsAnswerSchema, paths.runEvents(run, numbers)),
    issue: (run: string, body: { authorisedBy: string }) =>
      call(certificateSummarySchema, paths.runCertificate(run), { method: "POST", body }),
    bench: () => call(benchSchema, paths.bench),
    tryInstrument: (body: InstrumentQuestion) =>
      call(instrumentTrialSchema, paths.benchTries, { method: "POST", body }),
    findInstrument: (body: FindInstrument) => call(foundSchema, paths.benchSearches, { method: "POST", body }),
    switchInstrumentOff: (body: InstrumentAt) => call(switchedOffSchema, paths.benchOff, { method: "POST", body }),
    keepInstrument: (body: KeepInstrument) =>
      call(keptInstrumentSchema, paths.benchInstruments, { method: "POST", body }),
    letInstrumentGo: (name: string) =>
      call(z.array(keptInstrumentSchema), paths.benchInstrument(name), { method: "DELETE" }),
    checkInstrument: (name: string) => call(stillThereSchema, paths.benchInstrumentCheck(name), { method: "POST" }),
    certificates: () => call(z.array(certificateSummarySchema), paths.certificates),
  };
};

export type StationClient = ReturnType<typeof createClient>;

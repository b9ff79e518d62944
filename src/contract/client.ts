import {
  certificateDetailSchema,
  certificateSummarySchema,
  laboratoryPicturesSchema,
  type Amend,
  type Issue,
  type Withdraw,
} from "./certificates.ts";
import { z } from "zod";
import {
  benchSchema,
  foundSchema,
  instrumentTrialSchema,
  jobBenchSchema,
  keptInstrumentSchema,
  stillThereSchema,
  switchedOffSchema,
  type FindInstrument,
  type InstrumentAt,
  type InstrumentQuestion,
  type KeepInstrument,
} from "./bench.ts";
import {
  eventsAnswerSchema,
  jobDetailSchema,
  jobSummarySchema,
  resultAnswerSchema,
  runSummarySchema,
  stationSchema,
  type StartRun,
} from "./jobs.ts";
import { readingsCheckSchema, readingsFileSchema, type ImportedFileName, type ReadingsQuestion } from "./import.ts";
import { dayPlanSchema, kitComparisonSchema, type DayQuestion } from "./plan.ts";
import { diagnosisAnswerSchema } from "./diagnosis.ts";
import { explanationSchema, offeredHistorySchema, validationSchema } from "./judging.ts";
import {
  broughtSchema,
  kitDetailSchema,
  kitAnswerSchema,
  newerKitSchema,
  pluggedSchema,
  proposalSchema,
  type Approval,
  type ProposalQuestion,
} from "./kit.ts";
import { problemSchema, type Problem } from "./problems.ts";
import { itemHistorySchema, itemSummarySchema } from "./items.ts";
import { suspectSchema, suspectSensorSchema, traceStateSchema, type TraceQuestion } from "./trace.ts";
import { kitUpkeepSchema, upkeepFindingSchema, type TypedTest } from "./upkeep.ts";
import { approachSchema, runViewSchema, type RunCommand, type StopRun } from "./run-view.ts";

const query = (asked: Readonly<Record<string, unknown>>): string =>
  Object.entries(asked)
    .filter(([, value]) => value !== undefined)
    .map(([name, value]) => `${name}=${encodeURIComponent(String(value))}`)
    .join("&");

/** Every path of the station's API, in one place for handlers, client and tests. */
export const paths = {
  station: "/api/station",
  jobs: "/api/jobs",
  job: (job: string) => `/api/jobs/${encodeURIComponent(job)}`,
  jobHistory: (job: string) => `/api/jobs/${encodeURIComponent(job)}/history`,
  jobRuns: (job: string) => `/api/jobs/${encodeURIComponent(job)}/runs`,
  jobOrder: (job: string) => `/api/jobs/${encodeURIComponent(job)}/order`,
  jobReadings: (job: string, what: "files" | "checks" | "runs") =>
    `/api/jobs/${encodeURIComponent(job)}/readings/${what}`,
  jobBench: (job: string) => `/api/jobs/${encodeURIComponent(job)}/bench`,
  jobKits: (job: string) => `/api/jobs/${encodeURIComponent(job)}/kits`,
  jobNewerKit: (job: string) => `/api/jobs/${encodeURIComponent(job)}/newer-kit`,
  kit: "/api/kit",
  kitEntry: (entry: string) => `/api/kit/entries/${encodeURIComponent(entry)}`,
  kitLabel: (entry: string) => `/api/kit/entries/${encodeURIComponent(entry)}/label.pdf`,
  kitBrought: "/api/kit/brought",
  kitPlugged: (readout: string) => `/api/kit/readouts/${encodeURIComponent(readout)}/probes`,
  kitProposals: "/api/kit/proposals",
  kitRevisions: "/api/kit/revisions",
  kitUpkeep: (entry: string) => `/api/kit/entries/${encodeURIComponent(entry)}/upkeep`,
  kitUpkeepTrial: (entry: string) => `/api/kit/entries/${encodeURIComponent(entry)}/upkeep/trial`,
  kitUpkeepApproval: (entry: string, finding: number) =>
    `/api/kit/entries/${encodeURIComponent(entry)}/upkeep/${finding}/approval`,
  day: (question: DayQuestion) => `/api/day?${query(question)}`,
  run: (run: string) => `/api/runs/${encodeURIComponent(run)}`,
  runView: (run: string) => `/api/runs/${encodeURIComponent(run)}/view`,
  runStream: (run: string) => `/api/runs/${encodeURIComponent(run)}/stream`,
  runApproach: (run: string, pass: string, point: number) =>
    `/api/runs/${encodeURIComponent(run)}/approach?pass=${pass}&point=${point}`,
  runStop: (run: string) => `/api/runs/${encodeURIComponent(run)}/stop`,
  runPresence: (run: string) => `/api/runs/${encodeURIComponent(run)}/presence`,
  runCommands: (run: string) => `/api/runs/${encodeURIComponent(run)}/commands`,
  runResult: (run: string) => `/api/runs/${encodeURIComponent(run)}/result`,
  runValidation: (run: string) => `/api/runs/${encodeURIComponent(run)}/validation`,
  runDiagnosis: (run: string) => `/api/runs/${encodeURIComponent(run)}/diagnosis`,
  runExplain: (run: string, item: string, pass: string, point: number) =>
    `/api/runs/${encodeURIComponent(run)}/explain?item=${encodeURIComponent(item)}&pass=${pass}&point=${point}`,
  runEvents: (run: string, numbers: readonly number[]) =>
    `/api/runs/${encodeURIComponent(run)}/events?n=${numbers.join(",")}`,
  runLog: (run: string) => `/api/runs/${encodeURIComponent(run)}/log`,
  runPreview: (run: string, languages: readonly string[] = []) =>
    `/api/runs/${encodeURIComponent(run)}/preview.pdf${languages.length === 0 ? "" : `?languages=${languages.join(",")}`}`,
  runCertificate: (run: string) => `/api/runs/${encodeURIComponent(run)}/certificate`,
  bench: "/api/bench",
  benchTries: "/api/bench/tries",
  benchLive: "/api/bench/live",
  benchSearches: "/api/bench/searches",
  benchOff: "/api/bench/switch-off",
  benchInstruments: "/api/bench/instruments",
  benchInstrument: (name: string) => `/api/bench/instruments/${encodeURIComponent(name)}`,
  benchInstrumentCheck: (name: string) => `/api/bench/instruments/${encodeURIComponent(name)}/check`,
  items: "/api/items",
  itemHistory: (item: string, serial: string) => `/api/items/${encodeURIComponent(item)}?${query({ serial })}`,
  suspects: "/api/suspects",
  suspectSensor: (entry: string, revision: number) =>
    `/api/suspects/${encodeURIComponent(entry)}/revisions/${revision}/sensor`,
  traces: "/api/traces",
  trace: (trace: string) => `/api/traces/${encodeURIComponent(trace)}`,
  traceKeep: (trace: string) => `/api/traces/${encodeURIComponent(trace)}/keep`,
  traceList: (trace: string) => `/api/traces/${encodeURIComponent(trace)}/list.csv`,
  certificates: "/api/certificates",
  certificatePdf: (number: string) => `/api/certificates/${encodeURIComponent(number)}.pdf`,
  certificateXml: (number: string) => `/api/certificates/${encodeURIComponent(number)}.xml`,
  certificateIssuedPdf: (number: string) => `/api/certificates/${encodeURIComponent(number)}.pdf?as=issued`,
  certificate: (number: string) => `/api/certificates/${encodeURIComponent(number)}`,
  certificateAmendment: (number: string) => `/api/certificates/${encodeURIComponent(number)}/amendment`,
  certificateWithdrawal: (number: string) => `/api/certificates/${encodeURIComponent(number)}/withdrawal`,
  certificateLabel: (number: string, item: string) =>
    `/api/certificates/${encodeURIComponent(number)}/labels/${encodeURIComponent(item)}.pdf`,
  laboratoryPictures: "/api/laboratory/pictures",
  laboratoryPicture: (which: "logo" | "symbol") => `/api/laboratory/pictures/${which}`,
} as const;

/** What the client needs of the platform: the platform's own `fetch` fits. */
export type Fetch = (
  path: string,
  init?: { method?: string; headers?: Record<string, string>; body?: string | Uint8Array<ArrayBuffer> },
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
    init?: { method: string; body?: unknown; text?: string; bytes?: Uint8Array<ArrayBuffer> },
  ): Promise<z.output<S>> => {
    const request =
      init === undefined
        ? {}
        : {
            method: init.method,
            headers: {
              "content-type":
                init.bytes !== undefined
                  ? "application/octet-stream"
                  : init.text === undefined
                    ? "application/json"
                    : "text/plain",
            },
            body: init.bytes ?? init.text ?? JSON.stringify(init.body ?? {}),
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
    startRun: (job: string, body: StartRun) => call(runSummarySchema, paths.jobRuns(job), { method: "POST", body }),
    takeOrder: (job: string, points: readonly number[]) =>
      call(jobDetailSchema, paths.jobOrder(job), { method: "POST", body: { points } }),
    lookAtReadings: (job: string, bytes: Uint8Array<ArrayBuffer>, { name, sheet, zone }: ImportedFileName) =>
      call(readingsFileSchema, `${paths.jobReadings(job, "files")}?${query({ name, sheet, zone })}`, {
        method: "POST",
        bytes,
      }),
    checkReadings: (job: string, body: ReadingsQuestion) =>
      call(readingsCheckSchema, paths.jobReadings(job, "checks"), { method: "POST", body }),
    takeReadings: (job: string, body: ReadingsQuestion) =>
      call(runSummarySchema, paths.jobReadings(job, "runs"), { method: "POST", body }),
    jobBench: (job: string) => call(jobBenchSchema, paths.jobBench(job), { method: "POST" }),
    kits: (job: string) => call(kitComparisonSchema, paths.jobKits(job)),
    day: (question: DayQuestion) => call(dayPlanSchema, paths.day(question)),
    newerKit: (job: string) => call(newerKitSchema, paths.jobNewerKit(job)),
    takeKit: (job: string, ids: readonly string[]) =>
      call(newerKitSchema, paths.jobNewerKit(job), { method: "POST", body: { ids } }),
    kit: () => call(kitAnswerSchema, paths.kit),
    kitEntry: (entry: string) => call(kitDetailSchema, paths.kitEntry(entry)),
    /** A data sheet, a certificate or a label's text, as bytes; nothing is recorded. */
    bringProbe: (bytes: Uint8Array<ArrayBuffer>) => call(broughtSchema, paths.kitBrought, { method: "POST", bytes }),
    /** Asks a kept readout which probes are plugged in; commands nothing. */
    pluggedProbes: (readout: string) => call(pluggedSchema, paths.kitPlugged(readout), { method: "POST" }),
    proposeKit: (body: ProposalQuestion) => call(proposalSchema, paths.kitProposals, { method: "POST", body }),
    kitUpkeep: (entry: string) => call(kitUpkeepSchema, paths.kitUpkeep(entry)),
    tryUpkeep: (entry: string, body: TypedTest) =>
      call(upkeepFindingSchema, paths.kitUpkeepTrial(entry), { method: "POST", body }),
    keepUpkeep: (entry: string, body: TypedTest) =>
      call(kitUpkeepSchema, paths.kitUpkeep(entry), { method: "POST", body }),
    approveUpkeep: (entry: string, finding: number, body: { readonly by: string; readonly reason: string }) =>
      call(kitUpkeepSchema, paths.kitUpkeepApproval(entry, finding), { method: "POST", body }),
    approveKit: (body: Approval) => call(kitDetailSchema, paths.kitRevisions, { method: "POST", body }),
    run: (run: string) => call(runSummarySchema, paths.run(run)),
    runView: (run: string) => call(runViewSchema, paths.runView(run)),
    approach: (run: string, pass: string, point: number) => call(approachSchema, paths.runApproach(run, pass, point)),
    command: (run: string, body: RunCommand) => call(runViewSchema, paths.runCommands(run), { method: "POST", body }),
    /** Takes the heat away at once and pauses; the station waits for nothing before it answers. */
    stopRun: (run: string, body: StopRun = {}) => call(runViewSchema, paths.runStop(run), { method: "POST", body }),
    /** Somebody is there. */
    attend: (run: string) => call(runViewSchema, paths.runPresence(run), { method: "POST" }),
    result: (run: string) => call(resultAnswerSchema, paths.runResult(run)),
    diagnosis: (run: string) => call(diagnosisAnswerSchema, paths.runDiagnosis(run)),
    validate: (run: string) => call(validationSchema, paths.runValidation(run), { method: "POST" }),
    cancelValidation: (run: string) => call(validationSchema, paths.runValidation(run), { method: "DELETE" }),
    explain: (run: string, item: string, pass: string, point: number) =>
      call(explanationSchema, paths.runExplain(run, item, pass, point)),
    events: (run: string, numbers: readonly number[]) => call(eventsAnswerSchema, paths.runEvents(run, numbers)),
    issue: (run: string, body: Issue) =>
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
    items: () => call(z.array(itemSummarySchema), paths.items),
    itemHistory: (item: string, serial: string) => call(itemHistorySchema, paths.itemHistory(item, serial)),
    suspects: () => call(z.array(suspectSchema), paths.suspects),
    suspectSensor: (entry: string, revision: number) => call(suspectSensorSchema, paths.suspectSensor(entry, revision)),
    beginTrace: (body: TraceQuestion) => call(traceStateSchema, paths.traces, { method: "POST", body }),
    trace: (trace: string) => call(traceStateSchema, paths.trace(trace)),
    cancelTrace: (trace: string) => call(traceStateSchema, paths.trace(trace), { method: "DELETE" }),
    keepTrace: (trace: string, body: { by: string }) =>
      call(traceStateSchema, paths.traceKeep(trace), { method: "POST", body }),
    certificates: () => call(z.array(certificateSummarySchema), paths.certificates),
    certificate: (number: string) => call(certificateDetailSchema, paths.certificate(number)),
    /** A new certificate in the place of this one; the old one is kept and says by what it is replaced. */
    amendCertificate: (number: string, body: Amend) =>
      call(certificateSummarySchema, paths.certificateAmendment(number), { method: "POST", body }),
    withdrawCertificate: (number: string, body: Withdraw) =>
      call(certificateSummarySchema, paths.certificateWithdrawal(number), { method: "POST", body }),
    laboratoryPictures: () => call(laboratoryPicturesSchema, paths.laboratoryPictures),
    keepPicture: (which: "logo" | "symbol", bytes: Uint8Array<ArrayBuffer>) =>
      call(laboratoryPicturesSchema, paths.laboratoryPicture(which), { method: "PUT", bytes }),
    takePictureAway: (which: "logo" | "symbol") =>
      call(laboratoryPicturesSchema, paths.laboratoryPicture(which), { method: "DELETE" }),
  };
};

export type StationClient = ReturnType<typeof createClient>;

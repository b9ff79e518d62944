import { z } from "zod";
import { identifierSchema, jobSchema, passes, type Job, type Result } from "#calibration";
import { planSchema } from "./plan.ts";
import { validationSchema } from "./judging.ts";

export const stationSchema = z.object({
  name: z.string(),
  version: z.string(),
  simulatedBench: z.boolean().describe("whether jobs with a simulated bench can be run here"),
  defaultSpeed: z.number().describe("speed offered for simulated runs"),
});

export const runSummarySchema = z.object({
  run: z.string(),
  job: z.string(),
  title: z.string(),
  customer: z.string(),
  items: z.array(z.object({ item: z.string(), tag: z.string(), description: z.string() })),
  opened: z.string(),
  rehearsal: z.boolean(),
  state: z.enum(["running", "paused", "ended", "interrupted"]),
  outcome: z.enum(["completed", "stopped", "failed"]).nullable(),
  measured: z.int(),
  points: z.int(),
  decision: z.enum(["pass", "conditional-pass", "undecided", "conditional-fail", "fail"]).nullable(),
  certificate: z.string().nullable(),
});

export const jobSummarySchema = z.object({
  job: z.string(),
  title: z.string(),
  customer: z.string(),
  place: z.string(),
  items: z.array(z.object({ item: z.string(), tag: z.string(), description: z.string() })),
  points: z.array(z.number()),
  passes: z.array(z.enum(passes)),
  rehearsal: z.boolean(),
  stage: z.enum(["plan", "measure", "judge", "issue", "done"]).describe("what is to be done next"),
  latestRun: runSummarySchema.nullable(),
});

const jobValue = z.custom<Job>((value) => jobSchema.safeParse(value).success).meta({ description: "a checked job" });

export const jobDetailSchema = z.object({
  job: jobValue,
  stage: jobSummarySchema.shape.stage,
  runs: z.array(runSummarySchema),
  plan: planSchema,
});

export const startRunSchema = z.object({
  although: z
    .object({ reason: z.string().trim().min(1).max(500), by: z.string().trim().min(1).max(120).optional() })
    .optional()
    .describe("runs a job that its plan refuses (it could prove nothing, or its kit does not fit); stands in the log"),
  speed: z.number().positive().max(100_000).optional().describe("simulated bench only"),
  seed: z.int().nonnegative().optional().describe("simulated bench only"),
  history: z
    .boolean()
    .optional()
    .describe("whether the errors that the records know from before are frozen into the run as its items' history"),
  probe: z
    .enum(["job", "plugged"])
    .optional()
    .describe(
      "where the readout says that another reference is plugged in than the job's: it is the job's all the same, or the plugged-in one is taken with its newest revision. Without it such a run is refused as kit.another-probe",
    ),
  at: z
    .record(identifierSchema, z.string().max(256))
    .optional()
    .describe("addresses for this run in place of those that the job gives its instruments, by their id"),
});

export const resultAnswerSchema = z.object({
  result: z.custom<Result>((value) => typeof value === "object" && value !== null),
  check: z.object({
    stops: z.array(z.object({ clause: z.string(), message: z.string() })),
    warnings: z.array(z.object({ clause: z.string(), message: z.string() })),
  }),
  validation: validationSchema,
});

/** Raw material of a figure: log lines by number, as they were written. */
export const eventsAnswerSchema = z.object({
  events: z.array(z.record(z.string(), z.unknown())),
});

export type StartRun = z.infer<typeof startRunSchema>;
export type StationAnswer = z.infer<typeof stationSchema>;
export type RunSummary = z.infer<typeof runSummarySchema>;
export type JobSummary = z.infer<typeof jobSummarySchema>;
export type JobDetail = z.infer<typeof jobDetailSchema>;
export type ResultAnswer = z.infer<typeof resultAnswerSchema>;
export type EventsAnswer = z.infer<typeof eventsAnswerSchema>;

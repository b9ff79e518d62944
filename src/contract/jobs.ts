import { z } from "zod";
import { jobSchema, passes, type Job, type Result } from "#calibration";

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

/** The plan of a job, before anything is heated: what is expected at each point, and what stands in the way. */
export const planSchema = z.object({
  items: z.array(
    z.object({
      item: z.string(),
      points: z.array(
        z.object({
          point: z.int(),
          temperature: z.number(),
          tolerance: z.object({ lower: z.number(), upper: z.number() }).nullable(),
          toleranceNote: z.string().nullable(),
          expectedU: z.number().nullable().describe("expected expanded uncertainty, K"),
          ratio: z.number().nullable().describe("tolerance over expected U (test uncertainty ratio)"),
          dominant: z.array(z.object({ name: z.string(), share: z.number() })),
        }),
      ),
    }),
  ),
  ready: z.boolean(),
  obstacles: z.array(z.object({ code: z.string(), message: z.string() })),
  cautions: z.array(z.string()),
});

const jobValue = z.custom<Job>((value) => jobSchema.safeParse(value).success).meta({ description: "a checked job" });

export const jobDetailSchema = z.object({
  job: jobValue,
  stage: jobSummarySchema.shape.stage,
  runs: z.array(runSummarySchema),
  plan: planSchema,
});

export const startRunSchema = z.object({
  speed: z.number().positive().max(100_000).optional().describe("simulated bench only"),
  seed: z.int().nonnegative().optional().describe("simulated bench only"),
});

export const resultAnswerSchema = z.object({
  result: z.custom<Result>((value) => typeof value === "object" && value !== null),
  check: z.object({
    stops: z.array(z.object({ clause: z.string(), message: z.string() })),
    warnings: z.array(z.object({ clause: z.string(), message: z.string() })),
  }),
});

/** Raw material of a figure: log lines by number, as they were written. */
export const eventsAnswerSchema = z.object({
  events: z.array(z.record(z.string(), z.unknown())),
});

export const issueSchema = z.object({ authorisedBy: z.string().trim().min(1).max(120) });

export const certificateSummarySchema = z.object({
  number: z.string(),
  run: z.string(),
  job: z.string(),
  title: z.string(),
  customer: z.string(),
  tags: z.array(z.string()),
  issued: z.string(),
  authorisedBy: z.string(),
  rehearsal: z.boolean(),
  decision: z.enum(["pass", "conditional-pass", "undecided", "conditional-fail", "fail"]).nullable(),
});

export type StationAnswer = z.infer<typeof stationSchema>;
export type RunSummary = z.infer<typeof runSummarySchema>;
export type JobSummary = z.infer<typeof jobSummarySchema>;
export type JobDetail = z.infer<typeof jobDetailSchema>;
export type Plan = z.infer<typeof planSchema>;
export type ResultAnswer = z.infer<typeof resultAnswerSchema>;
export type EventsAnswer = z.infer<typeof eventsAnswerSchema>;
export type CertificateSummary = z.infer<typeof certificateSummarySchema>;

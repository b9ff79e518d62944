import { z } from "zod";
import { suspicionSchema, type Trace } from "#traceback";

/** What may have been off: a kit entry as the records know it, with each of its revisions. */
export const suspectSchema = z.object({
  kind: z.enum(["reference", "readout"]),
  entry: z.string(),
  serial: z.string(),
  description: z.string(),
  units: z.array(z.string()).describe("in which a correction can be given: K for a reference"),
  revisions: z.array(
    z.object({
      revision: z.int(),
      calibrated: z.string().describe("day"),
      certificate: z.string(),
      coefficients: z.boolean().describe("whether it has coefficients that another revision could take the place of"),
    }),
  ),
  runs: z.int().describe("runs in the records that used it, rehearsals included"),
});

type Corrected = Extract<z.infer<typeof suspicionSchema>["correction"], { kind: "coefficients" }>;

/** The coefficients of one revision of a reference. */
export const suspectSensorSchema = z.custom<Corrected["sensor"]>(
  (value) => typeof value === "object" && value !== null && "kind" in value,
);

/** A suspicion, and whether rehearsals are followed too. */
export const traceQuestionSchema = z.object({
  suspicion: suspicionSchema,
  rehearsals: z.boolean().default(false),
});

/** How far a trace has come. It lives in the station's memory until the station stops; `keep` writes it into the records. */
export const traceStateSchema = z.object({
  trace: z.string().describe("its name"),
  state: z.enum(["running", "done", "cancelled", "failed"]),
  generation: z.int(),
  done: z.int(),
  of: z.int(),
  why: z.string().nullable().describe("why it failed"),
  found: z
    .custom<Trace>((value) => typeof value === "object" && value !== null)
    .nullable()
    .describe("runs, results, statements, descendants, who must be told; null until it is done"),
  kept: z.int().nullable().describe("number of the finding in the records, once it was kept"),
});

export const keepTraceSchema = z.object({ by: z.string().trim().min(1).max(120) });

export type Suspect = z.infer<typeof suspectSchema>;
export type TraceQuestion = z.infer<typeof traceQuestionSchema>;
export type TraceState = z.infer<typeof traceStateSchema>;

import { z } from "zod";
import type { EarlierCalibration, IntervalProposal } from "#intervals";

const decision = z.enum(["pass", "conditional-pass", "undecided", "conditional-fail", "fail"]);

/** An item that runs of these records measured. */
export const itemSummarySchema = z.object({
  item: z.string(),
  serial: z.string(),
  tag: z.string(),
  description: z.string(),
  place: z.string().describe("where it was measured last"),
  customer: z.string(),
  runs: z.int(),
  rehearsals: z.int(),
  lastRun: z.string(),
  lastDay: z.string().describe("year-month-day"),
  decision: decision.nullable().describe("of its last run as a whole"),
});

/** What an item showed over the years, and when it is due by that. */
export const itemHistorySchema = z.object({
  summary: itemSummarySchema,
  job: z.string().describe("job of its last run"),
  calibrations: z
    .custom<readonly EarlierCalibration[]>((value) => Array.isArray(value))
    .describe("in the order of their days: errors as found and as left at each temperature, with their limits"),
  rehearsals: z.boolean().describe("whether they are rehearsals: there is no real run"),
  certificates: z.array(z.object({ run: z.string(), number: z.string() })),
  ahead: z
    .array(
      z.object({
        nominal: z.number(),
        expected: z.array(z.object({ day: z.string(), error: z.number(), U: z.number() })),
      }),
    )
    .describe("errors to be expected by the drift, from the last calibration to the day on which it is due"),
  proposal: z
    .custom<IntervalProposal>((value) => typeof value === "object" && value !== null)
    .describe("for whoever sets the interval; it goes on no certificate"),
});

export type ItemSummary = z.infer<typeof itemSummarySchema>;
export type ItemHistory = z.infer<typeof itemHistorySchema>;

import { z } from "zod";
import { historySchema, type Explanation, type PointValidation } from "#calibration";

/**
 * Validation of each point's uncertainty by Monte Carlo (JCGM 101:2008, clause 8). It is worked out once the run has ended; `open`
 * before that. The points stand there when all are done.
 */
export const validationSchema = z.object({
  state: z.enum(["open", "running", "done", "cancelled"]),
  done: z.int().describe("points worked out so far"),
  of: z.int().describe("points that there are"),
  points: z.array(z.custom<PointValidation>((value) => typeof value === "object" && value !== null)),
});

/** How the figures of one point came about, from raw readings to the decision. */
export const explanationSchema = z.custom<Explanation>((value) => typeof value === "object" && value !== null);

/** Errors that the records know of the job's items from before, offered as their history when a run is opened. */
export const offeredHistorySchema = z.object({ histories: z.array(historySchema) });

export type Validation = z.infer<typeof validationSchema>;
export type OfferedHistory = z.infer<typeof offeredHistorySchema>;

import { z } from "zod";
import { jobSchema, runEventSchema } from "#calibration";

/** A JSON schema (draft 2020-12) as plain data. */
export type JsonSchema = Readonly<Record<string, unknown>>;

/** Any schema of this program as JSON schema, for people who write such files in an editor. */
export const writtenSchema = (schema: z.ZodType, title: string, description: string): JsonSchema => {
  const { $schema, ...rest } = z.toJSONSchema(schema, {
    io: "input",
    target: "draft-2020-12",
    reused: "inline",
  }) as Record<string, unknown>;
  return { $schema, title, description, ...rest };
};

/** The JSON schema of a job file as it may be written, for editors and other programs. */
export const jobJsonSchema = (): JsonSchema =>
  writtenSchema(
    jobSchema,
    "Job file",
    "What is calibrated, with what, how and on which bench. Temperatures in °C, differences and uncertainties in K.",
  );

/** The JSON schema of one line of a run log (JSON Lines). */
export const runLogJsonSchema = (): JsonSchema =>
  writtenSchema(
    runEventSchema,
    "Line of a run log",
    "A run log is JSON Lines, one event a line; line 0 opens the run. Times in seconds on the run's own clock.",
  );

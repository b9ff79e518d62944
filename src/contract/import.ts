import { z } from "zod";
import { identifierSchema, passes } from "#calibration";

const columnUse = z.union([
  z.enum(["none", "time", "date", "names", "value", "unit", "pass", "point"]),
  z.templateLiteral(["channel:", z.string()]),
]);

/** What the columns of a file of readings are for; `names` says of which channel its row is. */
export const columnUsesSchema = z.object({
  names: z.int().min(1).describe("line that names the columns"),
  order: z.enum(["year-first", "day-first", "month-first"]).describe("how the file writes a date"),
  zone: z
    .string()
    .regex(/^(Z|[+-]\d{2}:\d{2})$/, "'Z', or a difference such as '+01:00'")
    .nullable()
    .describe("time zone of times that say none"),
  uses: z
    .array(
      z.object({
        column: z.string().min(1).max(500),
        use: columnUse,
        unit: z.string().max(20).optional().describe("of a channel's readings in the file, where it is not its own"),
      }),
    )
    .max(500),
  channelNames: z.record(z.string(), z.string()).describe("the file's names of channels, and the job's"),
});

/** A file of readings as it was understood: its first rows, and what its columns probably mean. */
export const readingsFileSchema = z.object({
  file: z.string().describe("by which it is spoken of; the station forgets it after a while"),
  name: z.string(),
  sheets: z.array(z.string()).describe("sheets of a workbook; none in a text"),
  sheet: z.string().nullable(),
  rows: z.int(),
  first: z
    .array(z.object({ line: z.int(), cells: z.array(z.string()) }))
    .describe("the first rows, those above the names of columns too"),
  uses: columnUsesSchema,
  usesFrom: z.enum(["remembered", "proposed"]),
});

const mark = z.object({
  pass: z.enum(passes),
  point: z.int().nonnegative(),
  from: z.number().describe("s from the file's first reading, or from its second 0"),
  to: z.number(),
});

/** A file with what its columns mean, and where its points are. */
export const readingsQuestionSchema = z.object({
  file: z.string().max(100),
  uses: columnUsesSchema,
  started: z.iso.datetime().nullable().describe("UTC of second 0, where the file counts seconds"),
  marks: z
    .array(mark)
    .max(500)
    .nullable()
    .describe("which stretches count for which point; null: as the file says, or as the station finds"),
});

/** What the readings of a file come to, before anything is recorded. */
export const readingsCheckSchema = z.object({
  obstacle: z.string().nullable().describe("why nothing can be taken in yet"),
  problems: z.array(z.object({ line: z.int().nullable(), column: z.string(), message: z.string() })),
  problemCount: z.int().describe("of all bad rows; the first ones are listed"),
  fileChannels: z.array(z.string()).describe("names of channels in the file, where a column holds them"),
  channels: z.array(z.object({ channel: z.string(), unit: z.string(), readings: z.int() })),
  unused: z.array(z.string()),
  started: z.string().nullable().describe("UTC of time 0"),
  needsStart: z.boolean(),
  marksFrom: z.enum(["file", "found", "given"]),
  marks: z.array(
    mark.extend({
      temperature: z.number(),
      readings: z.int().describe("in the stretch, of that channel of reference and items which has the fewest"),
      reference: z.number().nullable().describe("mean of the reference, °C"),
    }),
  ),
  missing: z.array(z.object({ pass: z.enum(passes), point: z.int(), temperature: z.number() })),
  picture: z.object({ times: z.array(z.number()), reference: z.array(z.number().nullable()) }),
});

export const importedFileNameSchema = z.object({
  name: z.string().trim().min(1).max(200).describe("the file's name"),
  sheet: z.string().max(100).optional(),
  zone: columnUsesSchema.shape.zone.unwrap().optional().describe("time zone of the person, for times that say none"),
});

export const importParametersSchema = z.object({ job: identifierSchema });

export type ColumnUsesMessage = z.infer<typeof columnUsesSchema>;
export type ReadingsFile = z.infer<typeof readingsFileSchema>;
export type ReadingsQuestion = z.infer<typeof readingsQuestionSchema>;
export type ReadingsCheck = z.infer<typeof readingsCheckSchema>;
export type ImportedFileName = z.infer<typeof importedFileNameSchema>;

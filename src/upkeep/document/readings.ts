import { z } from "zod";

const column = z.array(z.number()).min(2);

/** Columns of equal length: times in s, never falling, and what was read at them. */
export const sameLength = (
  readings: Readonly<Record<string, readonly number[] | undefined>>,
  context: z.core.$RefinementCtx,
): void => {
  const time = readings["time"] ?? [];
  for (const [name, values] of Object.entries(readings)) {
    if (values !== undefined && values.length !== time.length)
      context.addIssue({
        code: "custom",
        path: [name],
        message: `there are ${time.length} times and ${values.length} readings; give one reading for each time`,
      });
  }
  const back = time.findIndex((at, index) => index > 0 && at <= time[index - 1]!);
  if (back > 0)
    context.addIssue({
      code: "custom",
      path: ["time", back],
      message: "times must rise from reading to reading, in s",
    });
};

export const time = column.describe("s, one clock for the whole document");

/** What was read beside each other: the thermometer that stays, the one that is moved, the source's own display. */
export const besideReadingsSchema = z
  .strictObject({
    time,
    fixed: column.optional().describe("the thermometer that stays, in its unit"),
    moved: column.optional().describe("the thermometer that is moved, in its unit"),
    control: column.optional().describe("what the source itself shows, °C"),
  })
  .superRefine(sameLength);

export type BesideReadings = z.infer<typeof besideReadingsSchema>;

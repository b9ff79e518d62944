import { z } from "zod";

/** A figure that holds everywhere, or a table over temperature between whose rows it is interpolated linearly. */
export const figureSchema = z.union([
  z.number().nonnegative(),
  z
    .array(z.strictObject({ temperature: z.number(), value: z.number().nonnegative() }))
    .min(1)
    .refine((rows) => rows.every((row, index) => index === 0 || row.temperature > rows[index - 1]!.temperature), {
      error: "rows must be in rising order of temperature, each temperature once",
    }),
]);

export type TableFigure = z.infer<typeof figureSchema>;

/**
 * The figure at a temperature. Inside a table: linear between rows. Outside a table: the nearer end row, because a table
 * that ends below the point is judged by `kit.out-of-range`, not by a silent extrapolation.
 */
export const figureAt = (figure: TableFigure, temperature: number): number => {
  if (typeof figure === "number") return figure;
  const first = figure[0]!;
  const last = figure[figure.length - 1]!;
  if (temperature <= first.temperature) return first.value;
  if (temperature >= last.temperature) return last.value;
  const upper = figure.findIndex((row) => row.temperature >= temperature);
  const high = figure[upper]!;
  const low = figure[upper - 1]!;
  const share = (temperature - low.temperature) / (high.temperature - low.temperature);
  return low.value + share * (high.value - low.value);
};

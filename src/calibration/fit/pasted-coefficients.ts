import { z } from "zod";
import { failure, success, type Outcome } from "#fault";
import { sensorSchema } from "../job/sensor.ts";
import type { CheckInput, CheckValue } from "./check-coefficients.ts";
import { numberOf, printedNumber, type PrintedNumber } from "./printed-number.ts";
import { coefficientsOf } from "./sensor-coefficients.ts";

const pasted = z.union([z.number(), z.string()]);

/** A report's coefficients and check values as they were pasted: numbers, or the printed text with all its digits. */
export const pastedCheckSchema = z.strictObject({
  sensor: z.record(z.string(), z.unknown()).describe("a sensor; its coefficients as numbers, or as text as printed"),
  checkValues: z.array(
    z.strictObject({
      temperature: pasted.describe("°C"),
      signal: pasted.describe("Ω, mV … as the report states it"),
      digits: z.number().optional().describe("places after the point as printed"),
    }),
  ),
});

/** Words of a sensor that are text by themselves and never a coefficient. */
const words = new Set(["kind", "type", "equation"]);

/** The sensor with every printed text turned into its number; the texts stay known by the number that they gave. */
const withNumbers = (value: unknown, texts: Map<number, PrintedNumber>, field = ""): unknown => {
  if (typeof value === "string" && !words.has(field)) {
    const printed = printedNumber(value);
    if (printed === undefined) return value;
    const number = numberOf(printed);
    texts.set(number, printed);
    return number;
  }
  if (Array.isArray(value)) return value.map((entry) => withNumbers(entry, texts, field));
  if (typeof value === "object" && value !== null)
    return Object.fromEntries(Object.entries(value).map(([key, entry]) => [key, withNumbers(entry, texts, key)]));
  return value;
};

const readCheckValue = (
  { temperature, signal, digits }: z.infer<typeof pastedCheckSchema>["checkValues"][number],
  index: number,
): Outcome<CheckValue> => {
  const read = (value: number | string, field: string): Outcome<{ number: number; places: number | undefined }> => {
    if (typeof value === "number") return success({ number: value, places: undefined });
    const printed = printedNumber(value);
    return printed === undefined
      ? failure("input.invalid", `checkValues.${index}.${field}: "${value}" is not a decimal number.`, { field })
      : success({ number: numberOf(printed), places: Math.max(-printed.last, 0) });
  };
  const at = read(temperature, "temperature");
  if (!at.ok) return at;
  const stated = read(signal, "signal");
  if (!stated.ok) return stated;
  const places = digits ?? stated.value.places;
  return success({
    temperature: at.value.number,
    signal: stated.value.number,
    ...(places === undefined ? {} : { digits: places }),
  });
};

/** Pasted JSON as the input of `checkCoefficients`, or what in it cannot be read. */
export const readPastedCheck = (value: unknown): Outcome<CheckInput> => {
  const parsed = pastedCheckSchema.safeParse(value);
  if (!parsed.success) return unreadable(parsed.error, []);
  const texts = new Map<number, PrintedNumber>();
  const sensor = sensorSchema.safeParse(withNumbers(parsed.data.sensor, texts));
  if (!sensor.success) return unreadable(sensor.error, ["sensor"]);
  const checkValues: CheckValue[] = [];
  for (const [index, entry] of parsed.data.checkValues.entries()) {
    const read = readCheckValue(entry, index);
    if (!read.ok) return read;
    checkValues.push(read.value);
  }
  const printed = new Map(
    coefficientsOf(sensor.data).flatMap(({ name, value: number }) => {
      const text = texts.get(number);
      return text === undefined ? [] : [[name, text] as const];
    }),
  );
  return success({ sensor: sensor.data, checkValues, printed });
};

/** The first thing that a schema found wrong, with its place. */
const unreadable = (error: z.ZodError, before: readonly string[]): Outcome<never> => {
  const [issue] = error.issues;
  const field = [...before, ...(issue?.path ?? [])].join(".");
  return failure(
    "input.invalid",
    `${field === "" ? "The input" : field}: ${issue?.message ?? "not as it should be"}.`,
    {
      field,
    },
  );
};

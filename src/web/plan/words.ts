import type { Item, Job } from "#contract";
import { nominal, plain, signed } from "../figures/digits.ts";

export const sensorWords = (sensor: Item["sensor"]): string => {
  switch (sensor.kind) {
    case "thermocouple":
      return `type ${sensor.type}`;
    case "platinum":
      return sensor.equation === "its-90" ? "platinum, ITS-90 coefficients" : `platinum, R(0 °C) = ${sensor.r0} Ω`;
    case "thermistor":
      return "thermistor";
    case "loop":
      return `${nominal(sensor.lower)} to ${nominal(sensor.upper)} °C${sensor.current === undefined ? "" : ` on ${sensor.current.join(" to ")} mA`}`;
    case "indication":
      return "shows °C itself";
    case "switch":
      return `temperature switch, ${sensor.onRise} on rising, trip ${nominal(sensor.trip)} °C ${sensor.tripsOn}${sensor.reset === undefined ? "" : `, reset ${nominal(sensor.reset.temperature)} °C ±${sensor.reset.kelvin} K`}${sensor.deadBand === undefined ? "" : `, dead band ${sensor.deadBand.minimum} to ${sensor.deadBand.maximum} K`}`;
  }
};

const classWords = (name: string): string => {
  const [standard = "", grade = ""] = name.split("/");
  return `${standard.toUpperCase().replace("-", " ")} ${/^\d$/.test(grade) || grade.length <= 2 ? `class ${grade}` : grade}`;
};

export const toleranceWords = (tolerance: Item["tolerance"]): string => {
  if (tolerance.class !== undefined) return classWords(tolerance.class);
  const terms = [
    tolerance.kelvin === undefined ? [] : `±${tolerance.kelvin} K`,
    tolerance.percentOfReading === undefined ? [] : `±${tolerance.percentOfReading} % of reading`,
    tolerance.percentOfSpan === undefined ? [] : `±${tolerance.percentOfSpan} % of span`,
  ].flat();
  return terms.length === 1
    ? terms[0]!
    : tolerance.combine === "sum"
      ? terms.join(" plus ")
      : `the larger of ${terms.join(" and ")}`;
};

/** How it is read: at rest, or on the ramps of a switch. */
export const readingWords = ({ ramp, readings }: Job["procedure"]): string =>
  ramp === undefined
    ? `${readings.count} readings of each channel, ${readings.interval} s apart`
    : `${ramp.cycles} ramps each way at ${[...new Set([ramp.rate, ramp.slowRate ?? ramp.rate])].join(" and ")} K/min, read every ${readings.interval} s`;

export const ruleWords = (rule: Job["procedure"]["decision"]): string => {
  switch (rule.kind) {
    case "simple":
      return "simple acceptance: pass within the tolerance, U aside";
    case "specific-risk":
      return `specific risk: pass only where the risk that this item is outside the tolerance is ${plain(rule.limit * 100, 1)} % or less`;
    case "g8-non-binary":
      return "pass, conditional pass, conditional fail or fail, after ILAC-G8:09/2019, 4.2.3, with a guard band w = U";
    case "guard-band":
      return `guard band w = ${rule.factor} · U: pass only inside the tolerance less w`;
  }
};

/** Limits as one text: `±1.50 K` where they are equal, both where they are not. */
export const limitsText = ({ lower, upper }: { lower: number; upper: number }): string => {
  const trim = (text: string): string => text.replace(/(\.\d\d)0$/, "$1");
  return Math.abs(lower + upper) < 1e-9
    ? `±${trim(plain(upper, 3))} K`
    : `${trim(signed(lower, 3))} to ${trim(signed(upper, 3))} K`;
};

export const entryWords = {
  reference: "reference",
  readout: "readout",
  source: "source",
  item: "item",
  procedure: "procedure",
} as const;

import { success, type Outcome } from "#fault";
import { coefficientBand } from "../fit/fit-band.ts";
import { figureAt } from "../job/table.ts";
import { calendarDay, daysInYear } from "./calendar-day.ts";
import { inWords, limitsLine, unitOfLine, type PointLine } from "./budget-line.ts";
import { typedResolution } from "../job/typed-channel.ts";
import { digitThatCounts } from "./pair-readings.ts";
import type { PointData } from "./point-data.ts";
import { isReadByReadout, readoutAccuracy } from "./readout-accuracy.ts";

/** What of a measurement the lines of its reference are made of; a point's data hold all of it. */
export type ReferenceData = Pick<PointData, "job" | "reference" | "day" | "referenceSignal" | "referenceSlope"> &
  Partial<Pick<PointData, "check">> & {
    readonly pairs: Pick<PointData["pairs"], "referenceDigit" | "referenceOrigin">;
  };

/**
 * What lies between the points of the reference's calibration: limits from the kit entry, or, where the kit entry brings the
 * covariance of the coefficients, what that gives at this temperature, together with the limits (rules C13 and C35).
 */
const interpolationLine = ({ job, reference: temperature }: ReferenceData): Outcome<PointLine> => {
  const { reference } = job.kit;
  const { coefficients } = reference.calibration;
  const line = {
    sensitivity: -1,
    origin: [0],
    id: "reference.interpolation",
    name: "Reference, interpolation between its points",
  };
  const limits = limitsLine(
    { ...line, source: `kit entry ${reference.id}` },
    figureAt(reference.interpolation, temperature),
  );
  if (coefficients === undefined) return success(limits);
  const band = coefficientBand(reference.sensor, coefficients);
  if (!band.ok) return band;
  const at = band.value(temperature);
  if (!at.ok) return at;
  const also = limits.u === 0 ? "" : `, and the limits of kit entry ${reference.id}`;
  return success({
    ...line,
    u: Math.hypot(at.value.kelvin, limits.u),
    unit: "K",
    distribution: "normal",
    dof: Number.POSITIVE_INFINITY,
    source: `covariance of the coefficients of ${reference.id}, certificate ${reference.calibration.certificate}: u = ${inWords(at.value.kelvin)} K${also}`,
  });
};

/** What the reference's own certificate and history bring (rules C11 to C13). */
const ownLines = (data: ReferenceData): Outcome<PointLine[]> => {
  const { job, reference: temperature, day } = data;
  const { reference } = job.kit;
  const interpolation = interpolationLine(data);
  if (!interpolation.ok) return interpolation;
  const { calibration } = reference;
  const U = figureAt(calibration.uncertainty, temperature);
  const years = Math.abs(day - calendarDay(calibration.date)) / daysInYear;
  const common = { sensitivity: -1, origin: [0] };
  return success([
    {
      ...common,
      id: "reference.calibration",
      name: "Reference, calibration",
      u: U / calibration.k,
      unit: "K",
      distribution: "normal",
      dof: Number.POSITIVE_INFINITY,
      source: `certificate ${calibration.certificate} of ${calibration.date}: U = ${inWords(U)} K, k = ${inWords(calibration.k)}`,
    },
    limitsLine(
      {
        ...common,
        id: "reference.drift",
        name: "Reference, drift since its calibration",
        source: `kit entry ${reference.id}: ±${inWords(reference.driftPerYear)} K a year, ${inWords(years)} years since ${calibration.date}`,
      },
      reference.driftPerYear * years,
    ),
    interpolation.value,
    limitsLine(
      {
        ...common,
        id: "reference.self-heating",
        name: "Reference, self-heating",
        source: bySource(reference.id, reference.evidence?.selfHeating),
      },
      figureAt(reference.selfHeating, temperature),
    ),
    ...conductionLines(data),
  ]);
};

const bySource = (id: string, evidence: string | undefined): string =>
  evidence === undefined ? `kit entry ${id}` : `kit entry ${id}, ${evidence}`;

/** What is lost along the reference's own stem, where its kit entry says so: a pull test found it (rule C72). */
const conductionLines = ({ job, reference: temperature }: ReferenceData): PointLine[] => {
  const { id, conduction, evidence } = job.kit.reference;
  if (conduction === undefined) return [];
  return [
    limitsLine(
      {
        sensitivity: -1,
        origin: [0],
        id: "reference.conduction",
        name: "Reference, conduction along its stem",
        source: bySource(id, evidence?.conduction),
      },
      figureAt(conduction, temperature),
    ),
  ];
};

/**
 * The change that the closing check showed, beyond what the check itself and the reference's own lines explain already. When
 * it came about is not known, so any point may have it whole or not at all: limits of that size (rule C52).
 */
const checkLines = ({ check }: ReferenceData, own: readonly PointLine[]): PointLine[] => {
  const seen = check?.differences[0];
  if (seen === undefined) return [];
  const explained = Math.hypot(seen.u, ...own.map(({ u, sensitivity }) => u * sensitivity));
  const shift = Math.sqrt(Math.max(0, seen.difference.value ** 2 - explained ** 2));
  const line = {
    id: "reference.check",
    name: "Reference, change seen at the closing check",
    sensitivity: -1,
    source: `closing check: ${inWords(seen.difference.value)} K, of which u = ${inWords(explained)} K is explained by the check and by what is stated of the reference`,
    origin: seen.difference.origin,
  };
  return [limitsLine(line, shift)];
};

/** How the reference was read (rules C14 and C15). */
const readingLines = (data: ReferenceData): Outcome<PointLine[]> => {
  const { job, pairs, referenceSignal, referenceSlope } = data;
  const { reference, readout } = job.kit;
  const common = { unit: unitOfLine(reference.unit), sensitivity: -1 / referenceSlope } as const;
  const lines: PointLine[] = [];
  let resolution = 0;
  if (isReadByReadout(job, reference.channel)) {
    const accuracy = readoutAccuracy(readout, reference.unit, referenceSignal);
    if (!accuracy.ok) return accuracy;
    resolution = accuracy.value.resolution;
    const source = `accuracy of the readout ${readout.id} at ${inWords(referenceSignal)} ${reference.unit}: ±${inWords(accuracy.value.halfWidth)} ${reference.unit}`;
    lines.push(
      limitsLine(
        { ...common, id: "reference.readout", name: "Readout on the reference channel", source, origin: [0] },
        accuracy.value.halfWidth,
      ),
    );
  }
  const declared = Math.max(resolution, typedResolution(job, reference.channel));
  const digit = digitThatCounts(pairs.referenceDigit, declared);
  lines.push(
    limitsLine(
      {
        ...common,
        id: "reference.resolution",
        name: "Resolution of the reference's readings",
        source: `one digit is ${inWords(digit)} ${reference.unit}`,
        origin: [0, ...pairs.referenceOrigin],
      },
      digit / 2,
    ),
  );
  return success(lines);
};

/** Lines of the reference temperature. A readout without a row for the signal is a failure `kit.out-of-range`. */
export const referenceLines = (data: ReferenceData): Outcome<PointLine[]> => {
  const own = ownLines(data);
  if (!own.ok) return own;
  const reading = readingLines(data);
  return reading.ok ? success([...own.value, ...checkLines(data, own.value), ...reading.value]) : reading;
};

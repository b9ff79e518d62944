import { success, type Outcome } from "#fault";
import { measuredUnit } from "#quantity";
import type { Item } from "../job/item.ts";
import { figureAt } from "../job/table.ts";
import { inWords, limitsLine, unitOfLine, type PointLine } from "./budget-line.ts";
import { readByHand, typedResolution } from "../job/typed-channel.ts";
import { digitThatCounts } from "./pair-readings.ts";
import type { PointData } from "./point-data.ts";
import { isReadByReadout, readoutAccuracy } from "./readout-accuracy.ts";

export const contributionNames: Readonly<Record<keyof Item["contributions"], readonly [id: string, name: string]>> = {
  inhomogeneity: ["item.inhomogeneity", "Item, inhomogeneity of the wires"],
  stemConduction: ["item.stem-conduction", "Item, heat conduction along the stem"],
  leads: ["item.leads", "Item, leads"],
  hysteresis: ["item.hysteresis", "Item, hysteresis"],
  selfHeating: ["item.self-heating", "Item, self-heating"],
  insulation: ["item.insulation", "Item, insulation resistance"],
  loopSupply: ["item.loop-supply", "Item, loop supply and load"],
  ambient: ["item.ambient", "Item, ambient temperature"],
};

/**
 * Hysteresis as going both ways showed it: half the difference either way, rectangular, or what is declared for the item
 * where that is more (rule C51; u = |difference|/(2·√3) is that of DKD-R 5-1, from memory).
 */
const hysteresisLine = ({ item, nominal, hysteresis }: PointData): PointLine[] => {
  const declared = item.contributions.hysteresis;
  const seen = hysteresis === undefined ? 0 : Math.abs(hysteresis.difference) / 2;
  const stated = declared === undefined ? 0 : figureAt(declared, nominal);
  if (hysteresis === undefined && declared === undefined) return [];
  const fromLog = hysteresis !== undefined && seen >= stated;
  return [
    limitsLine(
      {
        id: "item.hysteresis",
        name: "Item, hysteresis",
        sensitivity: 1,
        source: fromLog
          ? `log: falling less rising ${inWords(hysteresis.difference)} K at ${inWords(nominal)} °C, half of it either way`
          : `job: ±${inWords(stated)} K declared for the item`,
        origin: fromLog ? hysteresis.origin : [0],
      },
      Math.max(seen, stated),
    ),
  ];
};

/** What is declared for the item itself; a contribution that is not declared has no line (rule C24). */
const declaredLines = ({ item, nominal, ...data }: PointData): PointLine[] =>
  Object.entries(contributionNames).flatMap(([key, [id, name]]) => {
    if (key === "hysteresis") return hysteresisLine({ item, nominal, ...data });
    const figure = item.contributions[key as keyof Item["contributions"]];
    if (figure === undefined) return [];
    const halfWidth = figureAt(figure, nominal);
    return [
      limitsLine(
        { id, name, sensitivity: 1, source: `job: ±${inWords(halfWidth)} K declared for the item`, origin: [0] },
        halfWidth,
      ),
    ];
  });

/** The scatter of the paired differences (rule C20). */
const repeatabilityLine = ({ job, item, series, pairs }: PointData): PointLine => ({
  id: "item.repeatability",
  name: "Repeatability of the difference",
  u: series.standardUncertainty,
  unit: "K",
  distribution: "student",
  dof: series.degreesOfFreedom,
  sensitivity: 1,
  source: `log: ${series.readings} pairs, ${readByHand(job, item) ? "read by hand and taken as independent" : `worth ${inWords(series.effectiveReadings)} independent ones`}, standard deviation ${inWords(series.standardDeviation)} K`,
  origin: pairs.itemOrigin,
});

/** The coarsest of what shows the item's value: digits on the wire, the readout's digit, the item's own display (rule C21). */
const resolutionLine = ({ item, pairs, slope }: PointData, readoutDigit: number): PointLine => {
  const own = item.indicationResolution ?? 0;
  const digit =
    own > 0 ? Math.max(pairs.itemDigit.wire ?? 0, readoutDigit) : digitThatCounts(pairs.itemDigit, readoutDigit);
  const common = { id: "item.resolution", name: "Resolution of the item's readings", origin: [0, ...pairs.itemOrigin] };
  if (own >= Math.abs(digit / slope)) {
    return limitsLine(
      { ...common, sensitivity: 1, source: `one digit of the item's display is ${inWords(own)} K` },
      own / 2,
    );
  }
  const unit = unitOfLine(item.unit);
  return limitsLine(
    { ...common, unit, sensitivity: 1 / slope, source: `one digit is ${inWords(digit)} ${item.unit}` },
    digit / 2,
  );
};

/** Lines of the item's indication. A readout without a row for the signal is a failure `kit.out-of-range`. */
export const itemLines = (data: PointData): Outcome<PointLine[]> => {
  const { job, item, signal, slope, junctionSlope, pairs } = data;
  const { readout } = job.kit;
  const lines: PointLine[] = [];
  let readoutDigit = 0;
  if (isReadByReadout(job, item.channel)) {
    const accuracy = readoutAccuracy(readout, measuredUnit(item.unit), signal);
    if (!accuracy.ok) return accuracy;
    readoutDigit = accuracy.value.resolution;
    const source = `accuracy of the readout ${readout.id} at ${inWords(signal)} ${item.unit}: ±${inWords(accuracy.value.halfWidth)} ${item.unit}`;
    const unit = unitOfLine(item.unit);
    lines.push(
      limitsLine(
        {
          id: "item.readout",
          name: "Readout on the item's channel",
          unit,
          sensitivity: 1 / slope,
          source,
          origin: [0],
        },
        accuracy.value.halfWidth,
      ),
    );
  }
  const digit = Math.max(readoutDigit, typedResolution(job, item.channel));
  lines.push(repeatabilityLine(data), resolutionLine(data, digit));
  if (junctionSlope !== undefined && item.coldJunction !== undefined) {
    const { halfWidth, kind } = item.coldJunction;
    const source = `job: ±${inWords(halfWidth)} K at the ${kind === "ice-point" ? "ice point" : "reference junction's channel"}`;
    const sensitivity = junctionSlope / slope;
    lines.push(
      limitsLine(
        { id: "item.junction", name: "Reference junction", sensitivity, source, origin: [0, ...pairs.junctionOrigin] },
        halfWidth,
      ),
    );
  }
  return success([...lines, ...declaredLines(data)]);
};

import { measuredUnit } from "#quantity";
import type { ResultBudgetLine } from "../result/result.ts";
import type { PointData } from "./point-data.ts";
import { readoutAccuracy } from "./readout-accuracy.ts";

/** The readout's quantity behind a channel: one row of one table on one channel has one error. */
const readoutInput = (
  { job }: PointData,
  channel: string,
  unit: "°C" | "Ω" | "mV" | "mA",
  signal: number,
): string | undefined => {
  const { readout } = job.kit;
  const accuracy = readoutAccuracy(readout, unit, signal);
  if (!accuracy.ok) return undefined;
  const { upTo } = accuracy.value.row;
  return `readout:${readout.serial}/${readout.revision}/${channel}/${unit}${upTo === undefined ? "" : `/${upTo}`}`;
};

/**
 * The name of the quantity behind a budget line, where other points share it, in this run or in another (rule C37); undefined
 * where it is the point's own. Kit entries are named by serial number and revision, because a revision is never edited.
 * Hysteresis is not named: it depends on where the item comes from, so no cancelling is claimed.
 */
export const sharedInput = (data: PointData, id: string): string | undefined => {
  const { job, item, run } = data;
  const { reference, source } = job.kit;
  const what = id.slice(id.indexOf(".") + 1);
  switch (id) {
    case "reference.calibration":
    case "reference.drift":
    case "reference.interpolation":
    case "reference.self-heating":
    case "reference.conduction":
      return `reference:${reference.serial}/${reference.revision}/${what}`;
    case "reference.readout":
      return readoutInput(data, reference.channel, reference.unit, data.referenceSignal);
    case "item.readout":
      return readoutInput(data, item.channel, measuredUnit(item.unit), data.signal);
    case "source.axial":
    case "source.radial":
    case "source.loading":
      return `source:${source.serial}/${source.revision}/${what}/${item.serial}`;
    case "item.junction":
      return `junction:${run}/${item.coldJunction?.kind === "channel" ? item.coldJunction.channel : "ice-point"}`;
    case "item.inhomogeneity":
    case "item.stem-conduction":
    case "item.leads":
    case "item.self-heating":
    case "item.insulation":
    case "item.loop-supply":
    case "item.ambient":
      return `item:${item.serial}/${what}`;
    default:
      return undefined;
  }
};

/** The part of a stored line that says which quantity it is. */
export const sharedOf = (data: PointData, id: string): Pick<ResultBudgetLine, "shared"> => {
  const shared = sharedInput(data, id);
  return shared === undefined ? {} : { shared };
};

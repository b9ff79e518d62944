import type { Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import { wiredComplaints } from "./channel-use.ts";
import { unknownChannel } from "./bench-complaints.ts";

type Plan = NonNullable<Job["procedure"]["closingCheck"]>;

const path = ["procedure", "closingCheck"];

const thermometerComplaints = (job: Job, plan: Extract<Plan, { kind: "check-thermometer" }>): Complaint[] => {
  const { source, reference } = job.kit;
  const outside = [
    { what: `heat source ${source.serial}`, ...source.range },
    { what: `reference ${reference.serial}`, ...reference.range },
    ...job.items.map(({ tag, limits }) => ({ what: `item ${tag}`, ...limits })),
  ].find(({ minimum, maximum }) => plan.temperature < minimum || plan.temperature > maximum);
  const complaints: Complaint[] =
    outside === undefined
      ? []
      : [
          {
            path: [...path, "temperature"],
            message: `${plan.temperature} °C is outside what ${outside.what} may see (${outside.minimum} °C to ${outside.maximum} °C). Check the reference at another temperature.`,
          },
        ];
  if (plan.channel === undefined) return complaints;
  const unknown = unknownChannel(job, plan.channel);
  return unknown === undefined
    ? [...complaints, ...wiredComplaints(job, plan.channel, "°C", "the check thermometer shows °C")]
    : [...complaints, { path: [...path, "channel"], message: unknown }];
};

/** The closing check must be possible with the kit, on the bench and in this procedure. */
export const closingComplaints = (job: Job): Complaint[] => {
  const plan = job.procedure.closingCheck;
  if (plan === undefined) return [];
  switch (plan.kind) {
    case "ice-point": {
      const { range, serial } = job.kit.reference;
      if (range.minimum <= 0 && range.maximum >= 0) return [];
      const message = `reference ${serial} is calibrated from ${range.minimum} °C to ${range.maximum} °C, not at an ice point. Check it beside a second thermometer, or at the first point.`;
      return [{ path: [...path, "kind"], message }];
    }
    case "check-thermometer":
      return thermometerComplaints(job, plan);
    case "first-point":
      return job.procedure.points.length > 1
        ? []
        : [
            {
              path: [...path, "kind"],
              message: "with one point there is no way from it and back. Plan more points, or another check.",
            },
          ];
  }
};

/** A side from which a point is to be reached must be the one from which the order of the points comes. */
export const directionComplaints = ({ procedure }: Job): Complaint[] =>
  procedure.points.flatMap(({ temperature, direction }, index) => {
    const before = procedure.points[index - 1];
    if (direction === undefined || before === undefined) return [];
    const comes = before.temperature < temperature ? "rising" : "falling";
    return comes === direction
      ? []
      : [
          {
            path: ["procedure", "points", index, "direction"],
            message: `${temperature} °C comes after ${before.temperature} °C, so it is reached ${comes}, not ${direction}. Change the order, or leave the direction out.`,
          },
        ];
  });

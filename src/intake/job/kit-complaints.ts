import type { Job, KitCalibration } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import type { Path } from "../document/place.ts";
import { channelUseComplaints } from "./channel-use.ts";
import { sensorComplaint } from "./sensor-complaint.ts";

const datesInOrder = ({ date, due }: KitCalibration, path: Path): Complaint[] =>
  due > date
    ? []
    : [
        {
          path: [...path, "calibration", "due"],
          message: `it is due on ${due}, but was calibrated on ${date}. The date comes before the due date; check both against the certificate.`,
        },
      ];

const rangeInOrder = ({ minimum, maximum }: { minimum: number; maximum: number }, path: Path): Complaint[] =>
  minimum < maximum
    ? []
    : [{ path: [...path, "range", "maximum"], message: `${maximum} °C is not above the minimum of ${minimum} °C.` }];

/** Points beyond the ends of the certificate's table: its U is not known there. */
const beyondTable = ({ kit, procedure }: Job): Complaint[] => {
  const { uncertainty } = kit.reference.calibration;
  if (typeof uncertainty === "number" || uncertainty.length < 2) return [];
  const [first, last] = [uncertainty[0]!.temperature, uncertainty.at(-1)!.temperature];
  const outside = procedure.points.filter(({ temperature }) => temperature < first || temperature > last);
  if (outside.length === 0) return [];
  return [
    {
      path: ["kit", "reference", "calibration", "uncertainty"],
      code: "kit.out-of-range",
      message: `the table goes from ${first} °C to ${last} °C, but a point is at ${outside[0]!.temperature} °C, where the certificate says nothing. Leave the point out, or use a reference that covers it.`,
    },
  ];
};

/** What must hold within the kit, and between the kit and the rest of a job. */
export const kitComplaints = (job: Job): Complaint[] => {
  const { reference, readout, source } = job.kit;
  const path = ["kit", "reference"];
  return [
    ...channelUseComplaints(job, { path, channel: reference.channel, unit: reference.unit, sensor: reference.sensor }),
    ...sensorComplaint(job, reference.sensor, [...path, "sensor"]),
    ...datesInOrder(reference.calibration, path),
    ...datesInOrder(readout.calibration, ["kit", "readout"]),
    ...rangeInOrder(reference.range, path),
    ...rangeInOrder(source.range, ["kit", "source"]),
    ...beyondTable(job),
  ];
};

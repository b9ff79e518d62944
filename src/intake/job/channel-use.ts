import { displayRead, type Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import type { Path } from "../document/place.ts";
import { unknownChannel } from "./bench-complaints.ts";

type Sensor = Job["items"][number]["sensor"];
type Unit = Job["items"][number]["unit"];

const unitOfKind: Readonly<Record<Sensor["kind"], Unit>> = {
  thermocouple: "mV",
  platinum: "Ω",
  thermistor: "Ω",
  loop: "mA",
  indication: "°C",
  switch: "contact",
};

/** What is read on a channel: a sensor, in the unit that is said of it. */
export interface ChannelUse {
  readonly path: Path;
  readonly channel: string;
  readonly unit: Unit;
  readonly sensor: Sensor;
}

/** Sensor, stated unit and channel of the bench must agree, and the readout must say how well it reads that unit. */
export const channelUseComplaints = (job: Job, { path, channel, unit, sensor }: ChannelUse): Complaint[] => {
  const right = unitOfKind[sensor.kind];
  if (unit !== right) {
    return [
      {
        path: [...path, "unit"],
        message: `a sensor of the kind "${sensor.kind}" is read in ${right}, not in ${unit}. Write ${right}, or correct the sensor.`,
      },
    ];
  }
  const unknown = unknownChannel(job, channel);
  if (unknown !== undefined) return [{ path: [...path, "channel"], message: unknown }];
  return wiredComplaints(job, channel, unit, `a "${sensor.kind}" is read on it`);
};

/** The bench must read a channel in a unit, and a readout that does so must have a row for it. */
export const wiredComplaints = (job: Job, channel: string, unit: Unit, why: string): Complaint[] => {
  const { bench, kit } = job;
  const wired = bench.channels[channel]!;
  const complaints: Complaint[] = [];
  if (wired.unit !== unit) {
    complaints.push({
      path: ["bench", "channels", channel, "unit"],
      message: `expected ${unit}, because ${why}; found ${wired.unit}.`,
    });
  }
  const readByReadout =
    wired.typed === true
      ? displayRead(job, channel) === "readout"
      : bench.instruments.some(({ id, role }) => id === wired.instrument && role === "readout");
  // A contact is open or closed: no accuracy belongs to it.
  if (readByReadout && unit !== "contact" && !kit.readout.accuracy.some((row) => row.unit === unit)) {
    complaints.push({
      path: ["kit", "readout", "accuracy"],
      message: `there is no row for ${unit}, in which the channel "${channel}" is read. Add it: {unit: ${unit}, absolute: …, resolution: …}.`,
    });
  }
  return complaints;
};

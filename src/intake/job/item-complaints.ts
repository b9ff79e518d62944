import type { Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import { unknownChannel } from "./bench-complaints.ts";
import { channelUseComplaints, wiredComplaints } from "./channel-use.ts";
import { sensorComplaint } from "./sensor-complaint.ts";

type Item = Job["items"][number];

const junctionComplaints = (job: Job, { sensor, coldJunction, channel }: Item, index: number): Complaint[] => {
  const path = ["items", index];
  if (sensor.kind !== "thermocouple") {
    return coldJunction === undefined
      ? []
      : [
          {
            path: [...path, "coldJunction"],
            atKey: true,
            message: `only a thermocouple has a reference junction; this item is of the kind "${sensor.kind}". Leave coldJunction out.`,
          },
        ];
  }
  if (coldJunction === undefined) {
    return [
      {
        path: [...path, "coldJunction"],
        message:
          "this field is missing: a thermocouple gives a temperature only with its reference junction's. Write {kind: ice-point}, or {kind: channel, channel: junction, halfWidth: 0.3}.",
      },
    ];
  }
  if (coldJunction.kind === "ice-point") return [];
  const at = [...path, "coldJunction", "channel"];
  if (coldJunction.channel === channel)
    return [
      {
        path: at,
        message: `"${channel}" carries the thermocouple itself. Name the channel that reads its reference junction in °C.`,
      },
    ];
  const unknown = unknownChannel(job, coldJunction.channel);
  if (unknown !== undefined) return [{ path: at, message: `${unknown} It should read the reference junction, in °C.` }];
  return wiredComplaints(job, coldJunction.channel, "°C", "it reads a reference junction");
};

const rangeComplaints = ({ range, limits }: Item, index: number): Complaint[] => {
  const complaints: Complaint[] = [];
  if (limits.minimum >= limits.maximum) {
    complaints.push({
      path: ["items", index, "limits", "maximum"],
      message: `${limits.maximum} °C is not above the minimum of ${limits.minimum} °C.`,
    });
  }
  if (range !== undefined && range.lower >= range.upper) {
    complaints.push({
      path: ["items", index, "range", "upper"],
      message: `${range.upper} °C is not above the lower end of ${range.lower} °C.`,
    });
  }
  return complaints;
};

const oneItem = (job: Job, item: Item, index: number): Complaint[] => {
  const path = ["items", index];
  const earlier = job.items.slice(0, index);
  const complaints: Complaint[] = [];
  if (earlier.some(({ id }) => id === item.id)) {
    complaints.push({
      path: [...path, "id"],
      message: `"${item.id}" stands for another item already. Give each its own.`,
    });
  }
  const sharing = earlier.find(({ channel }) => channel === item.channel);
  if (sharing !== undefined) {
    complaints.push({
      path: [...path, "channel"],
      message: `the channel "${item.channel}" reads ${sharing.tag} already. Give each item its own channel.`,
    });
  } else if (item.channel === job.kit.reference.channel) {
    complaints.push({
      path: [...path, "channel"],
      message: `the channel "${item.channel}" reads the reference already. Give the item its own channel.`,
    });
  }
  return [
    ...complaints,
    ...channelUseComplaints(job, { path, channel: item.channel, unit: item.unit, sensor: item.sensor }),
    ...sensorComplaint(job, item.sensor, [...path, "sensor"]),
    ...junctionComplaints(job, item, index),
    ...rangeComplaints(item, index),
  ];
};

/** What must hold for each item of a job, and between the items. */
export const itemComplaints = (job: Job): Complaint[] => job.items.flatMap((item, index) => oneItem(job, item, index));

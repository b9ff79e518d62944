import { isTyped, type Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";

const sourceComplaints = ({ bench, procedure }: Job): Complaint[] => {
  if (bench.source === undefined) return [];
  const wired = bench.instruments.find(({ role }) => role === "source");
  if (wired !== undefined)
    return [
      {
        path: ["bench", "source"],
        message: `${wired.id} is the heat source and has a wire. Leave this out, or leave ${wired.id} out.`,
      },
    ];
  if (procedure.ramp === undefined) return [];
  return [
    {
      path: ["bench", "source"],
      message:
        "the slow ramp of a switch is not led by hand: its steps come every few seconds. Use a source with a wire.",
    },
  ];
};

/** What is typed as it comes is too slow for these. */
const itemComplaints = (job: Job): Complaint[] =>
  job.items.flatMap(({ channel, sensor, tag }, index) =>
    sensor.kind === "switch" && isTyped(job.bench, channel)
      ? [
          {
            path: ["items", index, "channel"],
            message: `the contact of ${tag} changes within a second, which nobody types. Read it on an instrument.`,
          },
        ]
      : [],
  );

const closingComplaints = ({ procedure, bench, kit }: Job): Complaint[] => {
  const plan = procedure.closingCheck;
  if (plan === undefined || plan.kind === "first-point") return [];
  if (plan.kind === "check-thermometer" && plan.channel !== undefined && isTyped(bench, plan.channel))
    return [
      {
        path: ["procedure", "closingCheck", "channel"],
        message: "a check thermometer that is typed needs no channel: leave it out, and its reading is asked for.",
      },
    ];
  if (!isTyped(bench, kit.reference.channel)) return [];
  return [
    {
      path: ["procedure", "closingCheck", "kind"],
      message:
        "the reference is read by hand, and this check watches it reading by reading. Write kind: first-point, or read the reference on an instrument.",
    },
  ];
};

/** What must hold where channels are typed and the source is set by hand. */
export const byHandComplaints = (job: Job): Complaint[] => {
  const { procedure, bench } = job;
  const typed = Object.keys(bench.channels).filter((name) => isTyped(bench, name));
  const complaints = [...sourceComplaints(job), ...itemComplaints(job), ...closingComplaints(job)];
  if (typed.length === 0 && procedure.readingsByHand !== undefined)
    complaints.push({
      path: ["procedure", "readingsByHand"],
      atKey: true,
      message: "no channel is typed. Leave this out, or write typed: true at the channel that a person reads.",
    });
  if (typed.length > 0 && procedure.items === "each")
    complaints.push({
      path: ["procedure", "items"],
      message: "items that are typed are read in rounds, all at one moment. Leave this out.",
    });
  return complaints;
};

import type { Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import { closingComplaints, directionComplaints } from "./closing-complaints.ts";

/** Every limit that a temperature would cross, worded as the run words it when it is asked to go there. */
const limitsCrossed = ({ kit, items }: Job, temperature: number): Omit<Complaint, "path">[] =>
  [
    { what: `heat source ${kit.source.serial}`, code: "kit.out-of-range" as const, ...kit.source.range },
    { what: `reference ${kit.reference.serial}`, code: "kit.out-of-range" as const, ...kit.reference.range },
    ...items.map((item) => ({ what: `item ${item.tag}`, code: "item.out-of-range" as const, ...item.limits })),
  ]
    .filter(({ minimum, maximum }) => minimum < maximum && (temperature < minimum || temperature > maximum))
    .map(({ what, code, minimum, maximum }) => ({
      code,
      message: `${temperature} °C is outside what ${what} may see (${minimum} °C to ${maximum} °C). Leave the point out, or choose a kit that covers it.`,
    }));

/** Ends of a ramp that are outside what kit and items may see: they follow from procedure.ramp, so the complaint is there. */
const rampComplaints = (job: Job): Complaint[] => {
  const ends = job.procedure.points.flatMap(({ temperature, sweep }) => [temperature, ...(sweep ? [sweep.from] : [])]);
  const crossed = [...new Set(ends)].flatMap((temperature) => limitsCrossed(job, temperature));
  return crossed.map((each) => ({ path: ["procedure", "ramp"], ...each }));
};

const pointComplaints = (job: Job): Complaint[] =>
  job.procedure.ramp !== undefined ? rampComplaints(job) : restingComplaints(job);

const restingComplaints = (job: Job): Complaint[] =>
  job.procedure.points.flatMap(({ temperature }, index) => {
    const path = ["procedure", "points", index, "temperature"];
    const before = job.procedure.points[index - 1];
    const repeated: Complaint[] =
      before?.temperature === temperature
        ? [
            {
              path,
              message: `${temperature} °C is the temperature of the point before it, too. Leave one out; for more readings at a point raise readings.count.`,
            },
          ]
        : [];
    return [...repeated, ...limitsCrossed(job, temperature).map((crossed) => ({ path, ...crossed }))];
  });

const adjustmentComplaints = ({ procedure, items }: Job): Complaint[] => {
  const { passes, adjustment } = procedure;
  if (adjustment === undefined) {
    return passes.includes("as-left")
      ? [
          {
            path: ["procedure", "passes"],
            message:
              "as-left follows an adjustment, and none is planned. Add procedure.adjustment, or leave as-left out.",
          },
        ]
      : [];
  }
  if (!passes.includes("as-left")) {
    return [
      {
        path: ["procedure", "adjustment"],
        atKey: true,
        message:
          "what was adjusted has to be measured again. Write passes: [as-found, as-left], or leave the adjustment out.",
      },
    ];
  }
  if (adjustment.kind === "new-coefficients") {
    if (
      items.some(({ sensor }) => sensor.kind !== "indication" && (sensor.kind !== "loop" || sensor.inner !== undefined))
    )
      return [];
    const message =
      'no item has coefficients that this job knows. Give a transmitter\'s sensor as "inner", or adjust zero and span.';
    return [{ path: ["procedure", "adjustment", "kind"], message }];
  }
  if (!items.some(({ sensor }) => ["loop", "indication", "switch"].includes(sensor.kind))) {
    return [
      {
        path: ["procedure", "adjustment"],
        atKey: true,
        message:
          "only transmitters, indicators and switches can be adjusted, and no item is one. Leave the adjustment and as-left out.",
      },
    ];
  }
  return [];
};

const settlingComplaints = ({ procedure }: Job): Complaint[] => {
  const { minimumWindow, longestWait } = procedure.settling;
  return longestWait > minimumWindow
    ? []
    : [
        {
          path: ["procedure", "settling", "longestWait"],
          message: `the longest wait of ${longestWait} s is not above the shortest window of judgement, ${minimumWindow} s: no point could become ready.`,
        },
      ];
};

const orderComplaints = ({ procedure }: Job): Complaint[] => {
  const first = procedure.order?.first;
  if (first === undefined || procedure.points.some(({ temperature }) => temperature === first)) return [];
  return [
    {
      path: ["procedure", "order", "first"],
      message: `no point is at ${first} °C, so none can be the first. Add the point, or name the temperature of one of them.`,
    },
  ];
};

/** What must hold within the procedure, and between its points and the kit and items. */
export const procedureComplaints = (job: Job): Complaint[] => [
  ...pointComplaints(job),
  ...adjustmentComplaints(job),
  ...settlingComplaints(job),
  ...orderComplaints(job),
  ...closingComplaints(job),
  ...directionComplaints(job),
];

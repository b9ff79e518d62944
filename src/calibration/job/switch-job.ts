import type { Item } from "./item.ts";
import type { Procedure } from "./procedure.ts";
import { isSwitch, sweepPoints } from "./switch-sweeps.ts";

/** What of a job decides about its sweeps. */
interface SwitchJob {
  readonly items: readonly Item[];
  readonly procedure: Procedure;
}

interface SwitchComplaint {
  readonly path: readonly (string | number)[];
  readonly message: string;
}

/** Parts of a procedure that are about readings at rest, and mean nothing on a ramp. */
const notOnRamps = ["fit", "repeatFirst", "items"] as const;

const rampComplaints = ({ items, procedure }: SwitchJob): SwitchComplaint[] => {
  const complaints: SwitchComplaint[] = [];
  const thermometer = items.findIndex((item) => !isSwitch(item));
  if (thermometer !== -1) {
    complaints.push({
      path: ["items", thermometer, "sensor", "kind"],
      message: `${items[thermometer]!.tag} is no switch, and procedure.ramp is for switches. Give thermometers a job of their own.`,
    });
  }
  for (const name of notOnRamps) {
    if (procedure[name] !== undefined)
      complaints.push({ path: ["procedure", name], message: "this belongs to readings at rest. Leave it out." });
  }
  if (procedure.points.some(({ sweep }) => sweep === undefined)) {
    complaints.push({
      path: ["procedure", "points"],
      message: "the points of a ramp are worked out from procedure.ramp. Leave points out.",
    });
  }
  return complaints;
};

/** What must hold between the items and the procedure of a job where there are switches. */
export const switchComplaints = (job: SwitchJob): SwitchComplaint[] => {
  const { items, procedure } = job;
  if (procedure.ramp !== undefined) return rampComplaints(job);
  const found = items.findIndex(isSwitch);
  if (found !== -1) {
    return [
      {
        path: ["procedure", "ramp"],
        message: `this field is missing: ${items[found]!.tag} is a switch, and a switch needs a slow ramp. Write ramp: {rate: 0.3, cycles: 3} in place of points.`,
      },
    ];
  }
  if (procedure.points.length === 0)
    return [
      { path: ["procedure", "points"], message: "this field is missing: temperatures in the order of the visit, °C." },
    ];
  const odd = procedure.points.findIndex(({ sweep }) => sweep !== undefined);
  return odd === -1
    ? []
    : [{ path: ["procedure", "points", odd, "sweep"], message: "a sweep belongs to a ramp. Write procedure.ramp." }];
};

/** The same job with the points of its ramp. A job that has them already, from its log, keeps them as they are. */
export const withSweeps = <J extends SwitchJob>(job: J): J => {
  const { ramp, points } = job.procedure;
  if (ramp === undefined || points.length > 0) return job;
  return { ...job, procedure: { ...job.procedure, points: sweepPoints(job.items, ramp) } };
};

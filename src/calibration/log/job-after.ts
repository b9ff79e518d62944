import { Fault } from "#fault";
import type { Job } from "../job/job.ts";
import type { Kit } from "../job/kit.ts";
import type { RunEvent } from "./events.ts";

/**
 * The job as it stands after an event: with the kit entry that took another's place, or with the coefficients that were
 * loaded for an item. The very same object where the event changes neither.
 */
export const jobAfter = (job: Job, event: RunEvent): Job => {
  if (event.kind === "kit-replaced") {
    const { reference, readout, source } = event;
    return {
      ...job,
      kit: {
        reference: reference ?? job.kit.reference,
        readout: readout ?? job.kit.readout,
        source: source ?? job.kit.source,
      },
    };
  }
  if (event.kind === "coefficients-loaded") {
    const items = job.items.map((item) => (item.id === event.item ? { ...item, sensor: event.sensor } : item));
    return { ...job, items };
  }
  return job;
};

/** The kit that is in use at the end of a log: what was replaced on the way has given way to what took its place. */
export const kitInUse = (log: readonly RunEvent[]): Kit => {
  const [opened] = log;
  if (opened?.kind !== "run-opened")
    throw new Fault("log.invalid", "The log does not begin with the opening of a run.");
  return log.reduce(jobAfter, opened.job).kit;
};

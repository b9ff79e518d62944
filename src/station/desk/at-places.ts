import type { Job } from "#calibration";
import { Fault, unwrap } from "#fault";
import { parseAddress } from "#instruments";

/**
 * A job with some of its instruments elsewhere, as it is frozen into the run that is opened of it. Throws `input.invalid`
 * for an instrument that the job has not, one that is simulated (a rehearsal stays one), or what is no address.
 */
export const atPlaces = (job: Job, places: Readonly<Record<string, string>> = {}): Job => {
  const { instruments } = job.bench;
  for (const [id, at] of Object.entries(places)) {
    const instrument = instruments.find((each) => each.id === id);
    if (instrument === undefined)
      throw new Fault(
        "input.invalid",
        `The job has no instrument "${id}". It has: ${instruments.map((each) => each.id).join(", ") || "none"}.`,
      );
    if (instrument.at === "simulated" || at === "simulated")
      throw new Fault(
        "input.invalid",
        `Instrument "${id}" cannot be exchanged between a simulated bench and a real one. Change the job for that.`,
      );
    unwrap(parseAddress(at));
  }
  return {
    ...job,
    bench: { ...job.bench, instruments: instruments.map((each) => ({ ...each, at: places[each.id] ?? each.at })) },
  };
};

import type { Job } from "#calibration";

/** Room for the time of opening in an identifier of 64 characters. */
const longestStem = 46;

/**
 * Name of a run: its job and the second in which it was opened, UTC. It sorts by time and says by itself what it belongs
 * to. `taken` are names in use; a second run in the same second gets a number behind.
 */
export const runName = (job: Job, opened: Date, taken: ReadonlySet<string> = new Set()): string => {
  const stamp = opened.toISOString().slice(0, 19).replaceAll(/[-:]/g, "");
  const name = `${job.job.slice(0, longestStem)}-${stamp}Z`;
  if (!taken.has(name)) return name;
  for (let count = 2; ; count += 1) if (!taken.has(`${name}-${count}`)) return `${name}-${count}`;
};

import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import type { Job } from "#calibration";
import { Fault, unwrap } from "#fault";
import { loadJob } from "#intake";
import type { Records } from "#records";
import type { Station } from "#station";

export interface DemonstrationOptions {
  readonly records: Records;
  /** Folder of the program: its `examples/` are the demo jobs. */
  readonly home: string;
}

/** The job that is shown finished; the others stand prepared. */
const finishedExample = "pt100-four-wire.yaml";
const demoSpeed = 100_000;
const daysAgo = 3;

/** The day for which the examples' certificates were invented. */
const written = Date.parse("2026-11-25");
const dayLength = 86_400_000;

/**
 * An example's text with its dates moved along with the calendar: its kit is invented, and so are the days of its
 * certificates; without this the demonstration would one day be refused for a reference out of calibration.
 */
const demoText = async (folder: string, name: string): Promise<string> => {
  const moved = Math.max(0, Math.floor((Date.now() - written) / dayLength)) * dayLength;
  const text = await readFile(join(folder, name), "utf8");
  return text.replaceAll(/\b20\d\d-\d\d-\d\d\b/g, (date) =>
    new Date(Date.parse(date) + moved).toISOString().slice(0, 10),
  );
};

/** The kit of a rehearsal is not recorded by itself; in a demonstration it is, so that there is a kit to look at and to revise. */
const recordDemoKit = async (records: Records, { kit, technician: author }: Job): Promise<void> => {
  const reason = "demo data";
  const {
    reference: { channel: _, ...reference },
    readout,
    source,
  } = kit;
  const known = new Set((await records.listKit()).map(({ entry }) => entry.id));
  if (!known.has(reference.id)) await records.reviseKit({ kind: "reference", entry: reference, author, reason });
  if (!known.has(readout.id)) await records.reviseKit({ kind: "readout", entry: readout, author, reason });
  if (!known.has(source.id)) await records.reviseKit({ kind: "source", entry: source, author, reason });
};

/**
 * Puts the example jobs into empty records; they are invented, and each says of itself that it is a rehearsal. Records that
 * hold a job are left as they are, so that starting again repeats nothing. True when the jobs were put in.
 */
export const addDemoJobs = async ({ records, home }: DemonstrationOptions): Promise<boolean> => {
  if ((await records.listJobs()).length > 0) return false;
  const folder = join(home, "examples");
  const names = (await readdir(folder)).filter((name) => name.endsWith(".yaml")).sort();
  for (const name of names) {
    const text = await demoText(folder, name);
    const job = unwrap(loadJob(text, name));
    if (!job.rehearsal) throw new Fault("internal", `examples/${name} does not say that it is a rehearsal.`);
    await records.saveJob(job, { source: text });
    await recordDemoKit(records, job);
  }
  return true;
};

/**
 * Conducts one demo job to its certificate, as anybody would by the pages but as fast as the machine can, dated some days
 * back. Does nothing where a certificate was issued already, or where the demo job is not there. Stopping the program
 * leaves the run as it stands.
 */
export const finishDemoRun = async ({
  records,
  home,
  desk,
  signal,
}: DemonstrationOptions & { desk: Station["desk"]; signal: AbortSignal }): Promise<void> => {
  if ((await records.listCertificates({ limit: 1 })).certificates.length > 0) return;
  const text = await demoText(join(home, "examples"), finishedExample);
  const { job, authorisedBy = "demonstration" } = unwrap(loadJob(text, finishedExample));
  if (!(await records.listJobs()).some((entry) => entry.job.job === job)) return;
  const day = new Date(Date.now() - daysAgo * dayLength);
  const { run } = await desk.startRun(job, { speed: demoSpeed, opened: day });
  const feed = await desk.feed(run);
  const ended = new Promise<void>((resolve, reject) => {
    const look = (): void => {
      const { stage, sentence } = feed.view();
      if (stage === "ended" || signal.aborted) resolve();
      else if (stage === "paused")
        reject(new Fault("run.not-allowed", `The demo run stands still. ${sentence.happening}`));
    };
    feed.watch(look);
    signal.addEventListener("abort", look);
  });
  await desk.command(run, { command: "start" });
  await ended;
  if (!signal.aborted) await desk.issue(run, authorisedBy, day);
};

import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { Fault, unwrap } from "#fault";
import { loadJob } from "#intake";
import { createStation, type BenchHost, type Store } from "#station";

export interface DemonstrationOptions {
  readonly store: Store;
  readonly benches: BenchHost;
  readonly software: { readonly name: string; readonly version: string };
  /** Folder of the program: its `examples/` are the demo jobs. */
  readonly home: string;
  readonly signal: AbortSignal;
}

/** The job that is shown finished; the others stand prepared. */
const finishedExample = "pt100-four-wire.yaml";
const demoSpeed = 100_000;
const daysAgo = 3;

/**
 * Puts the example jobs into empty records; they are invented, and each says of itself that it is a rehearsal. Records that
 * hold a job are left as they are, so that starting again repeats nothing. True when the jobs were put in.
 */
export const addDemoJobs = async ({ store, home }: Pick<DemonstrationOptions, "store" | "home">): Promise<boolean> => {
  if ((await store.jobs()).length > 0) return false;
  const folder = join(home, "examples");
  const names = (await readdir(folder)).filter((name) => name.endsWith(".yaml")).sort();
  // Lists show the newest first: the one to begin with comes last.
  const order = [...names.filter((name) => name === finishedExample), ...names.filter((name) => name !== finishedExample).reverse()];
  for (const name of order) {
    const text = await readFile(join(folder, name), "utf8");
    const job = unwrap(loadJob(text, name));
    if (!job.rehearsal) throw new Fault("internal", `examples/${name} does not say that it is a rehearsal.`);
    await store.addJob(job, text);
  }
  return true;
};

/**
 * Conducts one demo job to its certificate, as anybody would by the pages but as fast as the machine can, dated some days
 * back. Does nothing where a certificate was issued already, or where the demo job is not there.
 */
export const finishDemoRun = async (options: DemonstrationOptions): Promise<void> => {
  const { store, benches, software, home, signal } = options;
  if ((await store.certificates()).length > 0) return;
  const { job, authorisedBy = "demonstration" } = unwrap(loadJob(await readFile(join(home, "examples", finishedExample), "utf8"), finishedExample));
  if ((await store.job(job)) === null) return;
  const begun = Date.now();
  const { desk, close } = await createStation({
    name: "demonstration",
    software,
    store: { ...store, close: async () => undefined },
    benches,
    simulatedBench: true,
    defaultSpeed: demoSpeed,
    pages: null,
    now: () => new Date(begun - daysAgo * 86_400_000),
  });
  try {
    const { run } = await desk.startRun(job, { speed: demoSpeed });
    const feed = await desk.feed(run);
    await new Promise<void>((resolve, reject) => {
      const look = (): void => {
        const { stage, sentence } = feed.view();
        if (stage === "ended" || signal.aborted) resolve();
        else if (stage === "paused") reject(new Fault("run.not-allowed", `The demo run stands still. ${sentence.happening}`));
      };
      feed.watch(look);
      signal.addEventListener("abort", look);
      desk.command(run, { command: "start" }).then(look, reject);
    });
    if (!signal.aborted) await desk.issue(run, authorisedBy);
  } finally {
    await close();
  }
};

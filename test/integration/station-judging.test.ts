import { afterAll, afterEach, beforeEach, describe, expect, it } from "vitest";
import { evaluate, explain, parseLog, validatePoints } from "#calibration";
import { paths, StationRefusal, type StationClient, type Validation } from "#contract";
import { unwrap } from "#fault";
import { exampleText, removeScratch } from "./program.test-support.ts";
import { startStation, untilView, type StartedStation } from "./station.test-support.ts";

let started: StartedStation;
beforeEach(async () => {
  started = await startStation();
});
afterEach(() => started.stop());
afterAll(removeScratch);

/** The example of the Pt100 with one point only, so that a run is soon over. */
const onePoint = async (): Promise<string> =>
  exampleText("pt100-four-wire", [[/ {4}- temperature: -20\n(.|\n)*?(?= {2}readings:)/, "    - temperature: 50\n"]]);

const conducted = async (client: StationClient, job: string, more: { seed: number; history?: boolean }) => {
  const { run } = await client.startRun(job, more);
  await client.command(run, { command: "start" });
  await untilView(client, run, ({ stage }) => stage === "ended");
  return run;
};

const logOf = async (run: string) => parseLog((await (await started.fetch(paths.runLog(run))).text()).split("\n"));

const untilValidated = async (client: StationClient, run: string): Promise<Validation> => {
  for (;;) {
    const { validation } = await client.result(run);
    if (validation.state !== "running") return validation;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
};

const refusalOf = async (asked: Promise<unknown>): Promise<StationRefusal> => {
  const answer: unknown = await asked.then(
    () => new Error("It was not refused."),
    (error: unknown) => error,
  );
  if (answer instanceof StationRefusal) return answer;
  throw answer;
};

describe("what stands behind the figures of a run", () => {
  it("is validated by Monte Carlo once the run has ended, and explained as JSON [C40, C43, C45]", async () => {
    const { client } = started;
    const { job } = await client.addJob(await onePoint());
    const run = await conducted(client, job, { seed: 3 });
    const validation = await untilValidated(client, run);
    const log = await logOf(run);
    const result = evaluate(log);
    expect(validation).toMatchObject({ state: "done", done: 1, of: 1 });
    expect(validation.points).toEqual(validatePoints(log, result, { trials: "decisive" }));

    const told = await client.explain(run, "TT-204", "as-found", 0);
    expect(told).toEqual(unwrap(explain(log, { item: "tt-204", pass: "as-found", point: 0 })));
    expect((await refusalOf(client.explain(run, "nobody", "as-found", 0))).problem.message).toContain("tt-204");
    expect((await refusalOf(client.explain(run, "tt-204", "as-left", 0))).status).toBe(409);

    // Cancelled once it is done, it stays done; the certificate's check list has been given it.
    expect(await client.cancelValidation(run)).toMatchObject({ state: "done" });
    const { number } = await client.issue(run, { authorisedBy: "Idris Farrowby (demo)" });
    expect(number).not.toBe("");
  }, 60_000);

  it("offers errors found earlier as the history of the next run, and freezes them into its log [C44]", async () => {
    const { client } = started;
    const { job } = await client.addJob(await onePoint());
    expect(await client.history(job)).toEqual({ histories: [] });
    const first = await conducted(client, job, { seed: 3 });
    const { histories } = await client.history(job);
    const [point] = evaluate(await logOf(first)).items[0]!.passes[0]!.points;
    if (point?.status !== "measured") throw new Error("The point was not measured.");
    expect(histories).toMatchObject([
      {
        item: "tt-204",
        of: "item",
        errors: [{ error: point.error.value, u: point.budget.u, temperature: 50, source: first }],
      },
    ]);
    const { run: plain } = await client.startRun(job, { seed: 4 });
    const { run: informed } = await client.startRun(job, { seed: 4, history: true });
    const [without] = await logOf(plain);
    const [withHistory] = await logOf(informed);
    expect(without).toMatchObject({ kind: "run-opened" });
    expect(without?.kind === "run-opened" && without.job.history).toBeUndefined();
    expect(withHistory).toMatchObject({ kind: "run-opened", job: { history: histories } });
  }, 60_000);
});

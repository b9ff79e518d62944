import { afterAll, afterEach, beforeEach, expect, it } from "vitest";
import { exampleText, removeScratch } from "./program.test-support.ts";
import { startStation, untilView, type StartedStation } from "./station.test-support.ts";

let started: StartedStation;
beforeEach(async () => {
  started = await startStation();
});
afterEach(() => started.stop());
afterAll(removeScratch);

/** The example of the type K with three points; a type J is connected on the bench. */
const wrongType = (): Promise<string> =>
  exampleText("type-k-thermocouple", [
    [
      / {2}points:.*\n(?: {4}- temperature: .*\n)+/,
      "  points:\n    - temperature: 60\n    - temperature: 200\n    - temperature: 120\n",
    ],
    [
      / {2}simulation:\n/,
      "  simulation:\n    faults: [{kind: wrong-type, channel: item-1, sensor: {kind: thermocouple, type: J}}]\n",
    ],
  ]);

it("a run names the wrong type while it goes on, and the station says what the pattern may mean", async () => {
  const { client } = started;
  const { job } = await client.addJob(await wrongType());
  const { run } = await client.startRun(job, { seed: 5 });
  await client.command(run, { command: "start" });
  const view = await untilView(client, run, ({ stage }) => stage === "ended");
  expect(view.faults.some(({ code }) => code === "pattern.suspected")).toBe(true);
  const [diagnosed] = (await client.diagnosis(run)).items;
  expect(diagnosed).toMatchObject({ verdict: "suspected", together: 1 });
  expect(diagnosed!.suspicions[0]).toMatchObject({ fault: "wrong-type", variant: "type J" });
  expect(diagnosed!.suspicions[0]!.test).not.toBe("");
});

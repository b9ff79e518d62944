import { afterAll, afterEach, describe, expect, it } from "vitest";
import { runEventSchema } from "#calibration";
import { standExample, startTwin } from "./instruments.test-support.ts";
import { exampleText, removeScratch } from "./program.test-support.ts";
import { startStation, type StartedStation } from "./station.test-support.ts";

const ends: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});
afterAll(removeScratch);

const station = async (): Promise<StartedStation> => {
  const started = await startStation();
  ends.push(() => started.stop());
  return started;
};

const twin = async (...wanted: Parameters<typeof startTwin>) => {
  const started = await startTwin(...wanted);
  ends.push(started.close);
  return started;
};

const standing = async () => {
  const example = await standExample();
  ends.push(() => example.bench.close());
  return example;
};

describe("a job whose instrument is not where it says", () => {
  const readout = "scpi-thermometer-readout";
  const nowhere = "tcp://127.0.0.1:1";

  it("is told so, and takes one that is kept in its place; the run's log says where it was", async () => {
    const { client } = await station();
    const { job, text, addresses } = await standing();
    const [at, source] = [addresses["readout"]!, addresses["heat-source"]!];
    await client.addJob(text.replace(at, nowhere));
    await client.tryInstrument({ entry: readout, at, unit: "Ω" });
    await client.keepInstrument({ name: "readout-1", entry: readout, at });
    await client.tryInstrument({ entry: "scpi-heat-source", at: source });
    await client.keepInstrument({ name: "other-source", entry: "scpi-heat-source", at: source });

    const { instruments } = await client.jobBench(job.job);
    expect(instruments.find(({ id }) => id === "heat-source")).toMatchObject({ state: "answers", kept: [] });
    const missed = instruments.find(({ id }) => id === "readout")!;
    expect(missed).toMatchObject({ state: "silent", at: nowhere, fault: { code: "instrument.unreachable" } });
    // What is kept by another entry does not fit.
    expect(missed.kept).toEqual([{ name: "readout-1", at, state: "answers", said: expect.stringMatching(/readout/) }]);

    await expect(client.startRun(job.job, {})).rejects.toThrow(/cannot be reached/);
    const { run } = await client.startRun(job.job, { at: { readout: at } });
    const { events } = await client.events(run, [0]);
    const opened = runEventSchema.parse(events[0]);
    expect(opened.kind === "run-opened" && opened.job.bench.instruments.map((each) => `${each.id} ${each.at}`)).toEqual(
      expect.arrayContaining([`readout ${at}`, `heat-source ${source}`]),
    );
    expect((await client.job(job.job)).job.bench.instruments.map((each) => each.at)).toContain(nowhere);
    expect((await client.jobBench(job.job)).instruments.find(({ id }) => id === "heat-source")).toMatchObject({
      state: "in-use",
      usedBy: run,
    });
  });

  it("says of a kept one that it is silent too, or that another is there", async () => {
    const { client } = await station();
    const { job, text, addresses } = await standing();
    await client.addJob(text.replace(addresses["readout"]!, nowhere));
    const gone = await twin(readout);
    const changed = await twin(readout);
    for (const [name, at] of [["gone", gone.at] as const, ["changed", changed.at] as const]) {
      await client.tryInstrument({ entry: readout, at });
      await client.keepInstrument({ name, entry: readout, at });
    }
    await gone.close();
    await changed.close();
    await twin("scpi-multimeter", { port: Number(changed.at.split(":").at(-1)) });
    const { instruments } = await client.jobBench(job.job);
    expect(instruments.find(({ id }) => id === "readout")!.kept).toMatchObject([
      { name: "changed", state: "another", said: expect.stringMatching(/multimeter/) },
      { name: "gone", state: "silent" },
    ]);
  });

  it("is not moved to what is no address, what it has not, or between a simulated bench and a real one", async () => {
    const { client } = await station();
    const { job, text } = await standing();
    await client.addJob(text);
    await expect(client.startRun(job.job, { at: { readout: "over there" } })).rejects.toThrow(/address/);
    await expect(client.startRun(job.job, { at: { nobody: nowhere } })).rejects.toThrow(/no instrument "nobody"/);
    await expect(client.startRun(job.job, { at: { readout: "simulated" } })).rejects.toThrow(/cannot be exchanged/);
    const simulated = (await exampleText("pt100-four-wire")).replace(`job: ${job.job}`, "job: SIM-1");
    await client.addJob(simulated);
    expect(await client.jobBench("SIM-1")).toEqual({ instruments: [] });
    await expect(client.startRun("SIM-1", { at: { readout: nowhere } })).rejects.toThrow(/cannot be exchanged/);
  });
});

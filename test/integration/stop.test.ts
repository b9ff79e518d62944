import { afterAll, afterEach, describe, expect, it } from "vitest";
import { FileSizeLimit } from "../../src/records/file-size-limit.test-support.ts";
import { startLineTwins, type LineTwins } from "./line-twins.test-support.ts";
import { exampleText, removeScratch } from "./program.test-support.ts";
import { startStation, untilView, type StartedStation } from "./station.test-support.ts";

const open: { stop?(): Promise<void>; close?(): Promise<void> }[] = [];
afterEach(async () => {
  for (const each of open.splice(0)) await (each.stop?.() ?? each.close?.());
});
afterAll(removeScratch);

/** So soon the heat must be gone and the station must have answered, ms; an instrument that hangs takes 2 s a question, and is asked twice. */
const atOnce = 1500;

const running = async (): Promise<{ twins: LineTwins; started: StartedStation; run: string }> => {
  const twins = await startLineTwins();
  const started = await startStation();
  open.push(started, twins);
  const text = await exampleText("pt100-four-wire", [
    [/entry: scpi-heat-source, at: simulated/, `entry: scpi-heat-source, at: "${twins.source}"`],
    [/entry: scpi-thermometer-readout, at: simulated/, `entry: scpi-thermometer-readout, at: "${twins.readout}"`],
    ["interval: 2}", "interval: 0.2}"],
  ]);
  const { job } = await started.client.addJob(text);
  const { run } = await started.client.startRun(job, {});
  await started.client.command(run, { command: "start" });
  await expect.poll(() => twins.state.output).toBe(true);
  await untilView(started.client, run, ({ reference }) => reference !== null);
  return { twins, started, run };
};

/** Presses stop; answers how long the station took, and how long until the source was off, ms. */
const press = async ({ twins, started, run }: Awaited<ReturnType<typeof running>>) => {
  const pressed = performance.now();
  const view = await started.client.stopRun(run, { by: "Orla" });
  const answered = performance.now() - pressed;
  await expect.poll(() => twins.state.output, { interval: 10, timeout: 5000 }).toBe(false);
  const { at } = twins.state.switched.findLast(({ on }) => !on)!;
  return { view, answered, off: at - pressed };
};

describe("stop, over real sockets", () => {
  it("takes the heat away at once while the readout hangs in a question [E79]", async () => {
    const all = await running();
    all.twins.silent.add("readout");
    await new Promise((resolve) => setTimeout(resolve, 400));
    const { view, answered, off } = await press(all);
    expect(view.stage).toBe("paused");
    expect(view.sentence.happening).toContain("Stopped by Orla");
    expect(answered).toBeLessThan(atOnce);
    expect(off).toBeLessThan(atOnce);
    all.twins.silent.clear();
    await untilView(all.started.client, all.run, ({ commands }) => commands.includes("resume"));
    const ended = await all.started.client.command(all.run, { command: "stop", reason: "seen" });
    expect(ended).toMatchObject({ stage: "ended", outcome: "stopped" });
  }, 30_000);

  it("takes the heat away while nothing can be recorded, and writes it down when there is room again [E79]", async () => {
    const all = await running();
    {
      using _full = new FileSizeLimit(1);
      const { view, answered, off } = await press(all);
      expect(view.sentence.happening).toContain("Stopped by Orla");
      expect(answered).toBeLessThan(atOnce);
      expect(off).toBeLessThan(atOnce);
      await untilView(all.started.client, all.run, ({ sentence }) =>
        sentence.happening.includes("Nothing can be recorded yet"),
      );
      expect(all.twins.state.output).toBe(false);
    }
    await untilView(all.started.client, all.run, ({ commands }) => commands.includes("resume"));
    const log = await (await all.started.fetch(`/api/runs/${all.run}/log`)).text();
    expect(log).toContain("somebody pressed stop, and the heat was taken away at once");
    expect(all.twins.state.switched.at(-1)).toMatchObject({ on: false });
  }, 30_000);

  it("of a source that does not answer says so at once, then that it must be switched off by hand [E6, E77, E79]", async () => {
    const all = await running();
    all.twins.silent.add("source");
    const pressed = performance.now();
    const view = await all.started.client.stopRun(all.run, { by: "Orla" });
    expect(performance.now() - pressed).toBeLessThan(atOnce);
    expect(view.sentence.happening).toContain("has not answered yet");
    const lost = await untilView(
      all.started.client,
      all.run,
      ({ contact, commands }) => contact !== null && commands.includes("resume"),
    );
    expect(lost.contact).toMatchObject({ setPoint: -20, alone: { does: "holds" } });
    expect(lost.sentence.happening).toContain("Contact with the heat source is lost");
    expect(lost.faults.some(({ message }) => message.includes("could not be switched off"))).toBe(true);
    // The link is back: it is asked how it stands, and found still heating.
    all.twins.silent.clear();
    expect(all.twins.state.output).toBe(true);
    await all.started.client.command(all.run, { command: "resume" });
    const log = await (await all.started.fetch(`/api/runs/${all.run}/log`)).text();
    expect(log).toMatch(/"kind":"source-found".*"output":true,"setPoint":-20/);
    expect((await press(all)).off).toBeLessThan(atOnce);
  }, 60_000);
});

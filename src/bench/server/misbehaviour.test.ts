import { describe, expect, it } from "vitest";
import { standBench } from "./bench.test-support.ts";

const outcomeOf = async (bench: Awaited<ReturnType<typeof standBench>>["bench"], channel = "reference") =>
  (await bench.read([channel]))[0]!.outcome;

describe.each(["memory", "tcp"] as const)("a simulated instrument that misbehaves, over %s", (by) => {
  it("drop-out: silent from a time on, alive again after", async () => {
    const { bench, clock, close } = await standBench(by, {
      faults: [{ kind: "drop-out", instrument: "readout", at: 10, until: 20 }],
    });
    expect((await outcomeOf(bench)).ok).toBe(true);
    await clock.sleepUntil(10);
    expect(await outcomeOf(bench)).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.timeout",
        message: expect.stringContaining('Instrument "readout" at simulated did not answer'),
      },
    });
    expect((await outcomeOf(bench, "source")).ok).toBe(true);
    await clock.sleepUntil(20);
    expect((await outcomeOf(bench)).ok).toBe(true);
    await close();
  });

  it("garbled now and then: asked again, never believed", async () => {
    const { bench, frames, close } = await standBench(by, {
      faults: [{ kind: "garbled", instrument: "readout", every: 5 }],
    });
    for (let count = 0; count < 6; count += 1) expect((await outcomeOf(bench)).ok).toBe(true);
    expect(frames.some(({ direction, text }) => direction === "received" && text.includes("\x07"))).toBe(true);
    await close();
  });

  it("garbled always: told", async () => {
    const { bench, simulated, close } = await standBench(by);
    expect((await outcomeOf(bench)).ok).toBe(true);
    const fault = simulated.fault({ kind: "garbled", instrument: "readout" });
    expect(await outcomeOf(bench)).toMatchObject({ ok: false, fault: { code: "instrument.garbled" } });
    fault.clear();
    expect((await outcomeOf(bench)).ok).toBe(true);
    await close();
  });

  it("a late answer is thrown away, and the next question gets its own", async () => {
    const { bench, simulated, frames, close } = await standBench(by, {}, { entry: { retries: 0 } });
    const junction = await outcomeOf(bench, "junction");
    const reference = await outcomeOf(bench);
    const busy = simulated.fault({ kind: "slow", instrument: "readout", seconds: 0.35 });
    setTimeout(() => busy.clear(), 60);
    expect(await outcomeOf(bench)).toMatchObject({ ok: false, fault: { code: "instrument.timeout" } });
    expect(await outcomeOf(bench, "junction")).toEqual(junction);
    const late = reference.ok ? reference.value.wire : "";
    expect(frames).toContainEqual({ instrument: "readout", direction: "discarded", text: late });
    await close();
  });

  it("half an answer is no answer", async () => {
    const { bench, simulated, close } = await standBench(by, {}, { entry: { retries: 1 } });
    const whole = await outcomeOf(bench);
    simulated.fault({ kind: "half-reply", instrument: "readout", every: 4 });
    for (let count = 0; count < 5; count += 1) expect(await outcomeOf(bench)).toEqual(whole);
    await close();
  });

  it("answers in pieces, byte by byte, are whole", async () => {
    const { bench, simulated, close } = await standBench(by);
    const whole = await outcomeOf(bench);
    simulated.fault({ kind: "chunked", instrument: "readout", bytes: 1 });
    expect(await outcomeOf(bench)).toEqual(whole);
    await close();
  });

  it.each(["~~~\n", "\x00\xff"])("junk %j before every answer is told, and gone when it is gone", async (before) => {
    const { bench, simulated, close } = await standBench(by);
    const clean = await outcomeOf(bench);
    const junk = simulated.fault({ kind: "junk", instrument: "readout", before });
    expect(await outcomeOf(bench)).toMatchObject({ ok: false, fault: { code: "instrument.garbled" } });
    junk.clear();
    expect(await outcomeOf(bench)).toEqual(clean);
    await close();
  });

  it("a hung-up connection is made anew", async () => {
    const { bench, simulated, frames, close } = await standBench(by, {}, { entry: { retries: 1 } });
    await bench.prepare();
    const fault = simulated.fault({ kind: "hang-up", instrument: "readout" });
    expect(await outcomeOf(bench)).toMatchObject({ ok: false, fault: { code: "instrument.closed" } });
    fault.clear();
    frames.length = 0;
    expect((await outcomeOf(bench)).ok).toBe(true);
    expect(frames.filter(({ direction }) => direction === "opened")).toHaveLength(1);
    await close();
  });

  it("an open circuit comes through as such", async () => {
    const { bench, simulated, close } = await standBench(by);
    simulated.fault({ kind: "open-circuit", channel: "item-2" });
    expect(await outcomeOf(bench, "item-2")).toMatchObject({
      ok: false,
      fault: {
        code: "signal.open-circuit",
        message:
          'Channel "item-2" (instrument "readout", input 3) is beyond what the instrument can measure in mV: it answers +9.9E+37, SCPI\'s infinity. The sensor\'s circuit is probably open: check its connections, then repeat the point.',
      },
    });
    expect((await outcomeOf(bench)).ok).toBe(true);
    await close();
  });
});

import { describe, expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { polite, readoutEntry, stages } from "./scripted-instrument.test-support.ts";

describe.each(stages)("an instrument that falls silent, over %s", (_, stand) => {
  it("is asked again as its entry says, then named with what to check", async () => {
    let silent = false;
    const stage = await stand((message, reply, count) => {
      if (!silent) polite((_message, { say }) => say("+25.4961\n"))(message, reply, count);
    });
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 1 }));
    expect((await readOnce()).outcome).toEqual({ ok: true, value: { value: 25.4961, wire: "+25.4961" } });
    silent = true;
    notes.clear();
    const { outcome } = await readOnce();
    expect(outcome).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.timeout",
        message: `Instrument "readout" at ${stage.at} did not answer "*IDN?" within 0.5 s (asked 2 times). Check that it is switched on and not busy, that its cable is in, and that catalogue entry "test-readout" suits it.`,
      },
    });
    // Asked; tried to get into step; dropped the wire; asked anew on a new one.
    expect(notes.lines.filter((line) => line !== "-")).toEqual([
      "> MEASure:FRESistance? (@2)",
      "> *IDN?",
      "+",
      "> *CLS",
      "> *IDN?",
    ]);
    await bench.close();
    await stage.close();
  });

  it("is read again as soon as it answers", async () => {
    let silent = true;
    const stage = await stand((message, reply, count) => {
      if (!silent || message === "*IDN?") polite((_message, { say }) => say("+100.0000\n"))(message, reply, count);
    });
    const { bench, readOnce } = benchOfOne(stage, readoutEntry({ retries: 0 }));
    expect((await readOnce()).outcome).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.timeout",
        message: `Instrument "readout" at ${stage.at} did not answer "MEASure:FRESistance? (@2)" within 0.5 s. Check that it is switched on and not busy, that its cable is in, and that catalogue entry "test-readout" suits it.`,
        data: { instrument: "readout", asked: "MEASure:FRESistance? (@2)", times: 1 },
      },
    });
    silent = false;
    expect((await readOnce()).outcome).toEqual({ ok: true, value: { value: 100, wire: "+100.0000" } });
    await bench.close();
    await stage.close();
  });
});

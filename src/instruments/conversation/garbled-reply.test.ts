import { describe, expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { polite, readoutEntry, stages } from "./scripted-instrument.test-support.ts";

describe.each(stages)("a garbled answer, over %s", (_, stand) => {
  it("is asked for again, in step", async () => {
    const stage = await stand(polite((_message, { say }, count) => say(count === 1 ? "+25.4\x07?1\n" : "+25.4961\n")));
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 1 }));
    expect((await readOnce()).outcome).toEqual({ ok: true, value: { value: 25.4961, wire: "+25.4961" } });
    expect(notes.lines).toEqual([
      "+",
      "> *CLS",
      "> *IDN?",
      "< Test bench,scripted readout,1,0",
      "> MEASure:FRESistance? (@2)",
      "< +25.4\x07?1",
      "> *IDN?",
      "< Test bench,scripted readout,1,0",
      "> SYSTem:ERRor?",
      '< 0,"No error"',
      "> MEASure:FRESistance? (@2)",
      "< +25.4961",
    ]);
    await bench.close();
    await stage.close();
  });

  it("that stays garbled is shown with its odd characters by number", async () => {
    const stage = await stand(polite((_message, { say }) => say("+25.4\x07?1\n")));
    const { bench, readOnce } = benchOfOne(stage, readoutEntry({ retries: 2 }));
    expect((await readOnce()).outcome).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.garbled",
        message: `Instrument "readout" at ${stage.at} answered "+25.4\\x07?1" to "MEASure:FRESistance? (@2)" (asked 3 times), which is not a number in Ω. Check its cable and earth, and that catalogue entry "test-readout" suits it.`,
      },
    });
    await bench.close();
    await stage.close();
  });

  it("with junk before it does not put later answers out of step", async () => {
    const stage = await stand(
      polite((_message, { say }, count) => say(count === 1 ? "#~#\n+1.0000\n" : `+${count}.0000\n`)),
    );
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 1 }));
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 2 } });
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 3 } });
    expect(notes.lines).toContain("! +1.0000");
    await bench.close();
    await stage.close();
  });
});

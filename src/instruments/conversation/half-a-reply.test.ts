import { describe, expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { polite, readoutEntry, stages } from "./scripted-instrument.test-support.ts";

describe.each(stages)("half an answer, over %s", (_, stand) => {
  it("is never taken for a number; the sentence shows what came of it", async () => {
    const stage = await stand(polite((_message, { say }) => say("+25.4")));
    const { bench, readOnce } = benchOfOne(stage, readoutEntry({ retries: 0 }));
    expect((await readOnce()).outcome).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.timeout",
        message: `Instrument "readout" at ${stage.at} began to answer "MEASure:FRESistance? (@2)" with "+25.4" and stopped; no end of line came within 0.5 s. Check its cable and its line-end setting.`,
      },
    });
    await bench.close();
    await stage.close();
  });

  it("does not become the head of the next one", async () => {
    const stage = await stand(polite((_message, { say }, count) => say(count === 1 ? "+25.4" : "+25.4961\n")));
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 1 }));
    expect((await readOnce()).outcome).toEqual({ ok: true, value: { value: 25.4961, wire: "+25.4961" } });
    expect(notes.lines).toContain("! +25.4");
    await bench.close();
    await stage.close();
  });
});

import { describe, expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { identity, readoutEntry, stages, type Script } from "./scripted-instrument.test-support.ts";

/** Knows no FRESistance: no answer, an entry in the error queue instead, as SCPI asks. */
const withoutResistance = (): Script => {
  const queue: string[] = [];
  return (message, { say }) => {
    if (message === "*IDN?") say(`${identity}\n`);
    else if (message === "SYSTem:ERRor?") say(`${queue.shift() ?? '0,"No error"'}\n`);
    else queue.push('-113,"Undefined header"');
  };
};

describe.each(stages)("the error queue, over %s", (_, stand) => {
  it("tells why there was no answer, and the question is not repeated in vain", async () => {
    const stage = await stand(withoutResistance());
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 3 }));
    expect((await readOnce()).outcome).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.reported",
        message: `Instrument "readout" at ${stage.at} did not accept "MEASure:FRESistance? (@2)"; it reports -113 "Undefined header". Check the instrument's display and that catalogue entry "test-readout" suits it.`,
      },
    });
    expect(notes.lines.slice(4)).toEqual([
      "> MEASure:FRESistance? (@2)",
      "> *IDN?",
      "< Test bench,scripted readout,1,0",
      "> SYSTem:ERRor?",
      '< -113,"Undefined header"',
      "> SYSTem:ERRor?",
      '< 0,"No error"',
    ]);
    await bench.close();
    await stage.close();
  });
});

import { describe, expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { identity, polite, readoutEntry, stages } from "./scripted-instrument.test-support.ts";

describe.each(stages)("a connection that drops, over %s", (_, stand) => {
  it("is said where the entry allows no second try, and the next question connects again", async () => {
    const stage = await stand(
      polite((_message, { say, hangUp }, count) => (count === 1 ? hangUp() : say("+25.4961\n"))),
    );
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 0 }));
    expect((await readOnce()).outcome).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.closed",
        message: `The connection to instrument "readout" at ${stage.at} was lost at "MEASure:FRESistance? (@2)": ${stage.goneReason}. Check its power and cable; the next question connects again.`,
      },
    });
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 25.4961 } });
    expect(notes.lines.filter((line) => line === "+")).toHaveLength(2);
    await bench.close();
    await stage.close();
  });

  it("is passed over where the entry allows a second try", async () => {
    const stage = await stand(
      polite((_message, { say, hangUp }, count) => (count === 1 ? hangUp() : say("+25.4961\n"))),
    );
    const { bench, readOnce } = benchOfOne(stage, readoutEntry({ retries: 1 }));
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 25.4961 } });
    expect(stage.connections()).toBe(2);
    await bench.close();
    await stage.close();
  });

  it("does not let another instrument take the place of the first", async () => {
    let plugged = identity;
    const stage = await stand((message, reply, count) => {
      if (message === "*IDN?") reply.say(`${plugged}\n`);
      else if (plugged !== identity) reply.say("+999\n");
      else if (count === 2) {
        plugged = "Test bench,scripted readout,2,0";
        reply.hangUp();
      } else reply.say("+25.4961\n");
    });
    const { bench, readOnce } = benchOfOne(stage, readoutEntry({ retries: 1 }));
    expect((await readOnce()).outcome).toMatchObject({ ok: true });
    expect((await readOnce()).outcome).toMatchObject({
      ok: false,
      fault: {
        code: "instrument.exchanged",
        message: `Instrument "readout" at ${stage.at} is not the one expected: "Test bench,scripted readout,2,0" answers where "Test bench,scripted readout,1,0" was expected. Check the address and the plugs, or the job.`,
      },
    });
    await bench.close();
    await stage.close();
  });
});

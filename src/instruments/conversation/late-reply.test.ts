import { setTimeout as after } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { identity, readoutEntry, stages, type Script } from "./scripted-instrument.test-support.ts";

/** Answers in order, the first question `lag` ms late: an instrument that was busy. */
const lateOnce = (lag: number): Script => {
  let queue = Promise.resolve<unknown>(null);
  return (message, { say }, count) => {
    const answer = message === "*IDN?" ? identity : message === "SYSTem:ERRor?" ? '0,"No error"' : `+${count}.0000`;
    const late = message.startsWith("MEAS") && count === 1;
    queue = queue.then(() => (late ? after(lag) : null)).then(() => say(`${answer}\n`));
  };
};

/** A USB-TMC device throws an answer away that was not fetched when the next question comes (IEEE 488.2, 6.3.2.3, from memory). */
const streams = stages.filter(([name]) => name !== "a USB-TMC file");

describe.each(streams)("an answer that comes late, over %s", (_, stand) => {
  it("is thrown away while getting into step, and the next answer is the next question's", async () => {
    const stage = await stand(lateOnce(800));
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 0, timeout: 0.6 }));
    const first = await readOnce();
    expect(first.outcome).toMatchObject({ ok: false, fault: { code: "instrument.timeout" } });
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 2 } });
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 3 } });
    expect(notes.lines).toContain("! +1.0000");
    expect(stage.connections()).toBe(1);
    await bench.close();
    await stage.close();
  });

  it("that comes even later finds its wire dropped", async () => {
    const stage = await stand(lateOnce(1700));
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 0, timeout: 0.6 }));
    expect((await readOnce()).outcome).toMatchObject({ ok: false });
    await after(800);
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 2 } });
    expect(notes.lines).not.toContain("< +1.0000");
    expect(stage.connections()).toBe(2);
    await bench.close();
    await stage.close();
  });
});

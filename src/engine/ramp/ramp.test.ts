import { describe, expect, it } from "vitest";
import { evaluate, parseLog, type RunEvent, type RunEventOf } from "#calibration";
import { initialState } from "../open-run.ts";
import { replay } from "../evolve.ts";
import { viewOf } from "../view.ts";
import { conductRamps, switchJob } from "./ramp-bench.test-support.ts";

const ramp = { rate: 0.5, cycles: 2, before: 2, beyond: 3, soak: 60 };
const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);

describe("the ramp of a switch", () => {
  const job = switchJob(ramp);
  const run = conductRamps(job);

  it("goes fast to its beginning, rests, ramps both ways, and ends where the contact changed [E40, E42]", () => {
    expect(run.state.ended?.outcome).toBe("completed");
    // Expected at 60 °C rising and 60 − 3.5 °C falling; 2 K before, 3 K beyond.
    expect(ofKind(run.log, "set-point-commanded").map(({ temperature }) => temperature)).toEqual([58, 58.5, 58, 58.5]);
    for (const begun of ofKind(run.log, "ramp-begun")) {
      const commanded = ofKind(run.log, "set-point-commanded").findLast(({ at }) => at < begun.at)!;
      expect(begun.at - commanded.at).toBeGreaterThan(ramp.soak);
      // The source stands 0.3 K above its set point: the end is moved down by as much.
      expect(begun.to).toBeCloseTo((begun.from === 58 ? 63 : 53.5) - 0.3, 1);
    }
    const changes = ofKind(run.log, "contact-changed");
    expect(changes.map(({ closed }) => closed)).toEqual([false, true, false, true]);
    for (const change of changes) {
      const ended = ofKind(run.log, "ramp-ended").find(({ n }) => n > change.n)!;
      expect(ended).toMatchObject({ at: change.at, unchanged: [], pass: change.pass, point: change.point });
      expect(change.to - change.from).toBe(2);
    }
  });

  it("logs each step before it commands it, and is never faster than the rate [E41]", () => {
    const steps = ofKind(run.log, "ramp-stepped");
    const commanded = run.commanded.map(({ temperature }) => temperature);
    const logged = run.log.flatMap((event) =>
      event.kind === "ramp-stepped" || event.kind === "set-point-commanded" ? [event.temperature] : [],
    );
    expect(commanded).toEqual(logged);
    for (const [index, each] of steps.entries()) {
      const before = steps[index - 1];
      if (before === undefined || before.point !== each.point) continue;
      const rate = (60 * Math.abs(each.temperature - before.temperature)) / (each.at - before.at);
      expect(rate).toBeLessThanOrEqual(0.5 * 1.02);
    }
    expect(run.rates).toEqual([]);
  });

  it("gives rate and end to a source with a ramp of its own, and its full speed before the next way [E41]", () => {
    const own = conductRamps(switchJob({ ...ramp, cycles: 1, by: "source" }), { longest: 3000 });
    // The bench here has no ramp of its own and jumps to the end; what matters is what it was told.
    expect(own.rates.slice(0, 3)).toEqual([null, 0.5, null]);
    expect(ofKind(own.log, "ramp-stepped")).toEqual([]);
    expect(own.commanded.slice(0, 2).map(({ temperature }) => Math.round(temperature))).toEqual([58, 63]);
  });

  it("makes a log that is one, and that evaluates to what is true", () => {
    expect(parseLog(run.log.map((event) => JSON.stringify(event)))).toEqual(run.log);
    const found = evaluate(run.log).items[0]!.passes[0]!.switch!;
    expect(found.decision).toBe("pass");
    const { rising, falling } = found;
    if (rising.status !== "measured" || falling.status !== "measured") throw new Error("not measured");
    // Lags 50 s and 15 s at 0.5 K/min: 0.29 K, which is within what ±60 s allow.
    expect(rising.temperature.value - 60.6).toBeCloseTo(0.29, 1);
    expect(Math.abs(rising.temperature.value - 60.6)).toBeLessThan(rising.budget.U);
    expect(Math.abs(falling.temperature.value - 57.3)).toBeLessThan(falling.budget.U);
  });

  it("is the same when everything but the log is forgotten, at every event [E46]", () => {
    const crashed = conductRamps(job, { forgetAt: () => true });
    expect(crashed.log).toEqual(run.log);
    const { volatile: _, converter: _c, ...whole } = run.state;
    const {
      volatile: _v,
      converter: _d,
      ...again
    } = replay(initialState(run.log[0] as RunEventOf<"run-opened">), run.log.slice(1));
    expect(again).toEqual(whole);
  });

  it("shows the ramp, the contact and what to do [E40]", () => {
    const halfway = conductRamps(job, { longest: 500 });
    const view = viewOf(halfway.state);
    expect(view.stage).toBe("measuring");
    expect(view.ramp).toMatchObject({ phase: "ramp", direction: "rising", from: 58, rate: 0.5 });
    expect(view.ramp!.contacts).toEqual([
      expect.objectContaining({ tag: "TT-101", closed: true, expected: 60, closes: false, changed: false }),
    ]);
    expect(view.route[0]).toMatchObject({ status: "measuring", direction: "rising" });
    expect(view.sentence.happening).toMatch(/Ramping rising at 0.5 K\/min, set point .* TT-101 is closed/);
    expect(view.settling).toEqual([]);
    expect(view.commands).not.toContain("add-point");
  });
});

describe("the screw of a switch [E60]", () => {
  const procedure = {
    passes: ["as-found" as const, "as-left" as const],
    adjustment: { kind: "zero-and-span" as const, adjustAbove: 0.3, authorisedBy: "Idris Farrowby" },
  };
  const own = { ...ramp, lagWithin: 20 };
  const lags = { itemLag: 20, referenceLag: 15 };

  it("is turned by as much as the trip was off, and ramps as left prove it", () => {
    const run = conductRamps(switchJob(own, { procedure }), { truth: { ...lags, rising: 60.8, falling: 57.5 } });
    expect(run.state.ended?.outcome).toBe("completed");
    const [adjusted] = ofKind(run.log, "item-adjusted");
    expect(adjusted!.zero).toBeCloseTo(-0.8, 0);
    const [found, left] = evaluate(run.log).items[0]!.passes.map((pass) => pass.switch!.rising);
    if (found!.status !== "measured" || left!.status !== "measured") throw new Error("not measured");
    expect(found!.deviation!.value).toBeGreaterThan(0.7);
    expect(Math.abs(left!.deviation!.value)).toBeLessThan(0.1);
  });

  it("is left alone where the trip is near enough, or no nearer than its uncertainty, and as left is as found", () => {
    const near = conductRamps(switchJob(own, { procedure }), { truth: { ...lags, rising: 60.1, falling: 56.8 } });
    expect(ofKind(near.log, "item-adjusted")).toEqual([]);
    expect(ofKind(near.log, "note-added").at(-1)!.text).toMatch(/within the agreed 0\.3 of its tolerance/);
    const unsure = conductRamps(switchJob({ ...own, lagWithin: 120 }, { procedure }), {
      truth: { ...lags, rising: 60.5, falling: 57.2 },
    });
    expect(ofKind(unsure.log, "note-added").at(-1)!.text).toMatch(/within its own uncertainty.*leave it alone/);
    expect(ofKind(unsure.log, "point-skipped")).toHaveLength(4);
  });
});

describe("what goes wrong on a ramp", () => {
  it("bounces lie within the change, and are counted [E42]", () => {
    const run = conductRamps(switchJob({ ...ramp, cycles: 1 }), { truth: { chatter: 20 }, seed: 5 });
    const changes = ofKind(run.log, "contact-changed");
    expect(changes).toHaveLength(2);
    expect(Math.max(...changes.map(({ bounces }) => bounces))).toBeGreaterThan(0);
    for (const { from, to } of changes) expect(to - from).toBeLessThanOrEqual(26);
    expect(Math.max(...changes.map(({ from, to }) => to - from))).toBeGreaterThan(2);
  });

  it("a stuck contact is said to have stayed, and no change is made up [E44]", () => {
    const run = conductRamps(switchJob({ ...ramp, cycles: 1 }), { truth: { stuck: true } });
    expect(run.state.paused).not.toBeNull();
    expect(run.state.faults.at(-1)).toMatchObject({ code: "switch.no-change" });
    expect(run.state.faults.at(-1)!.message).toMatch(/TT-101 stayed closed from 58 °C to 63\.\d °C, rising/);
    expect(ofKind(run.log, "contact-changed")).toEqual([]);
    expect(ofKind(run.log, "ramp-ended")).toEqual([expect.objectContaining({ unchanged: ["item-a"] })]);
    const found = evaluate(run.log).items[0]!.passes[0]!.switch!;
    expect(found.rising).toMatchObject({ status: "no-change", decision: "fail" });
    expect(found.sweeps[0]).toMatchObject({ status: "no-change", temperature: null });
  });

  it("ramps again when it is resumed, and leaves the finding when it is skipped [E44, E45]", () => {
    const by = "Ines Holloway";
    const again = conductRamps(switchJob({ ...ramp, cycles: 1 }), {
      truth: { stuck: true },
      inputs: [{ after: 2400, input: (at) => ({ kind: "command", at, command: { command: "resume", by } }) }],
      longest: 5000,
    });
    expect(ofKind(again.log, "ramp-begun").map(({ point }) => point)).toEqual([0, 0]);
    const skipped = conductRamps(switchJob({ ...ramp, cycles: 1 }), {
      truth: { stuck: true },
      inputs: [
        {
          after: 2400,
          input: (at) => ({ kind: "command", at, command: { command: "skip-point", by, reason: "it does not trip" } }),
        },
      ],
      longest: 8000,
    });
    const found = evaluate(skipped.log).items[0]!.passes[0]!.switch!;
    expect(found.rising).toMatchObject({ status: "no-change" });
  });

  it("a contact that has not come back is taken past its other change first [E43]", () => {
    // Cold outside, and yet it begins open: it resets only at 57.3 °C, from where the bench came before.
    const job = switchJob(
      { ...ramp, cycles: 1 },
      { sensor: { tripsOn: "falling", trip: 57, deadBand: { minimum: 2, maximum: 5 } } },
    );
    const run = conductRamps(job);
    // Falling first: at 59 °C the contact must be open already, but coming from below it is closed.
    const commanded = ofKind(run.log, "set-point-commanded");
    expect(commanded[0]).toMatchObject({ point: 0, temperature: 59 });
    expect(commanded[1]).toMatchObject({ point: 0, temperature: 63.5 });
    expect(commanded[2]).toMatchObject({ point: 0, temperature: 59 });
    expect(run.state.ended?.outcome).toBe("completed");
  });

  it("says so when that does not help, or when it changes before the ramp [E43]", () => {
    const other = conductRamps(switchJob({ ...ramp, cycles: 1 }), { truth: { onRise: "closes" } });
    expect(other.state.faults.at(-1)).toMatchObject({ code: "switch.wrong-state" });
    expect(other.state.faults.at(-1)!.message).toMatch(/stuck, or the contact is of the other form/);
    const early = conductRamps(switchJob({ ...ramp, cycles: 1 }), { truth: { rising: 57.5, falling: 54.5 } });
    expect(early.state.faults.at(-1)!.message).toMatch(/before the slow ramp has begun.*procedure\.ramp\.before/);
  });

  it("is begun anew after a pause [E45]", () => {
    const by = "Ines Holloway";
    const command = (name: "pause" | "resume") => (at: number) =>
      ({ kind: "command", at, command: { command: name, by } }) as const;
    const run = conductRamps(switchJob({ ...ramp, cycles: 1 }), {
      inputs: [
        { after: 500, input: command("pause") },
        { after: 510, input: command("resume") },
      ],
    });
    expect(ofKind(run.log, "ramp-begun").map(({ point }) => point)).toEqual([0, 0, 1]);
    expect(run.state.ended?.outcome).toBe("completed");
  });

  it("never commands what kit or item may not see [E41]", () => {
    const job = switchJob({ ...ramp, cycles: 1, beyond: 200 });
    const run = conductRamps(job);
    expect(run.state.faults.at(-1)).toMatchObject({ code: "run.limit" });
    expect(run.commanded).toEqual([]);
  });
});

import { describe, expect, it } from "vitest";
import { evaluate, KeptLog } from "#calibration";
import { replay } from "../evolve.ts";
import { initialState } from "../open-run.ts";
import { viewOf } from "../view.ts";
import {
  by,
  conductByHand,
  dialJob,
  everythingByHand,
  ofKind,
  once,
  pointsOf,
  twoPoints,
} from "./by-hand.test-support.ts";

const completed = { kind: "run-ended", outcome: "completed" };

describe("the pace of a person", () => {
  it("nobody is asked before a wired probe rests; then in rounds, an interval apart, each in the log [E65]", async () => {
    const job = dialJob({ readingsByHand: { count: 5, interval: 90 } });
    const { log } = await conductByHand(job);
    const asked = ofKind(log, "reading-asked").filter(({ point }) => point === 0);
    expect(asked.length).toBeGreaterThanOrEqual(5);
    const reference = ofKind(log, "readings-taken").findLast(
      (event) => event.channel === "reference" && event.at <= asked[0]!.at,
    )!;
    // 50 °C on the sensor of the invented job.
    expect(Math.abs(reference.values.at(-1)! - 119.397)).toBeLessThan(0.02);
    asked.slice(1).forEach(({ at }, index) => expect(at - asked[index]!.at).toBeGreaterThanOrEqual(90 - 1e-6));
  });

  it("a typed reference is looked at alone until it rests, one reading instead of all [E65]", async () => {
    const { log } = await conductByHand(everythingByHand());
    const rounds = ofKind(log, "reading-asked")
      .filter(({ point }) => point === 0)
      .map(({ channels }) => channels.join(" "));
    expect(rounds[0]).toBe("reference");
    const begins = rounds.findIndex((round) => round.includes("item-1"));
    expect(begins).toBeGreaterThan(1);
    expect(new Set(rounds.slice(begins + 1))).toEqual(new Set(["reference item-1"]));
  });

  it("somebody who is late is not hurried, and one who never comes pauses the run [E70]", async () => {
    let typed = 0;
    const { log, runner } = await conductByHand(
      dialJob({ settling: { target: { fractionOfTolerance: 0.3 }, longestWait: 1200 } }),
      { types: (_channel, shown) => ((typed += 1) > 2 ? null : shown) },
      { until: ({ stage }) => stage === "paused" },
    );
    expect(ofKind(log, "fault-seen").at(-1)).toMatchObject({
      code: "run.unattended",
      message: expect.stringMatching(/^Nobody has typed a reading of TI-101 for 20 minutes/),
    });
    expect(runner.view().commands).toContain("resume");
  });
});

describe("when a point is measured by hand", () => {
  it("its readings are as many as asked, and the change over them is shown to be within the target [E66]", async () => {
    const { log } = await conductByHand(dialJob({ readingsByHand: { count: 6, interval: 60 } }));
    for (const { evidence } of ofKind(log, "point-settled")) {
      expect(evidence.typed).toBeGreaterThanOrEqual(6);
      expect(evidence.remainder).toBeLessThanOrEqual(evidence.target);
    }
    for (const { from, to } of ofKind(log, "point-measured")) expect(to - from).toBeGreaterThanOrEqual(5 * 60 - 4);
  });

  it("where that is not shown the window grows to twice as many, and what is open stands in the uncertainty [E66]", async () => {
    let n = 0;
    const trembling = (_channel: string, shown: string): string =>
      (Number(shown) + [0.6, -0.6][(n += 1) % 2]!).toFixed(1);
    const { log } = await conductByHand(dialJob(), { types: trembling });
    const [settled] = ofKind(log, "point-settled");
    expect(settled!.evidence.typed).toBe(12);
    expect(settled!.evidence.remainder).toBeGreaterThan(settled!.evidence.target);
    const [point] = pointsOf(log);
    if (point!.status !== "measured") throw new Error(point!.reason);
    expect(point!.budget.lines.find(({ id }) => id === "settling.remainder")!.source).toMatch(/12 readings by hand/);
    expect(point!.budget.U).toBeGreaterThan(0.6);
  });

  it("readings that still drift are left out, and a drift without end pauses [E66]", async () => {
    const slow = {
      item: (temperature: number, time: number) => temperature + 2 * Math.exp(-Math.max(0, time - 500) / 200),
    };
    const { log } = await conductByHand(dialJob(), {}, { troubles: slow });
    const [first] = ofKind(log, "point-measured");
    const [asked] = ofKind(log, "reading-asked");
    expect(first!.from - asked!.at).toBeGreaterThan(100);
    const endless = { item: (temperature: number, time: number) => temperature + time / 600 };
    const { log: other } = await conductByHand(
      dialJob(),
      {},
      { troubles: endless, until: ({ stage }) => stage === "paused" },
    );
    expect(ofKind(other, "fault-seen").at(-1)).toMatchObject({
      code: "settling.too-slow",
      message: expect.stringMatching(/still drifts after 24 readings by hand/),
    });
  });

  it("a written rule binds typed readings, too [E67]", async () => {
    const rules = { soak: 900, limits: [{ on: "difference" as const, window: 240, spread: 0.3 }] };
    const { log } = await conductByHand(
      dialJob({ settling: { target: { fractionOfTolerance: 0.3 }, rules: { ...rules, judgement: "rules" } } }),
    );
    const [settled] = ofKind(log, "point-settled");
    expect(settled!.evidence.rules).toMatchObject([
      { rule: "soak", holds: true },
      { rule: "spread", on: "difference", holds: true },
    ]);
    expect(settled!.evidence.judgement).toBe("rules");
    const impossible = { limits: [{ on: "difference" as const, window: 7000, spread: 0.3 }] };
    const { refusals } = await conductByHand(
      dialJob({ settling: { target: { fractionOfTolerance: 0.3 }, rules: { ...impossible, judgement: "both" } } }),
      {
        does: once(
          ({ hand }) => hand?.taken === 4,
          () => ({ command: "enough-readings", by }),
        ),
      },
      { until: ({ hand }) => hand?.taken === 8 },
    );
    expect(refusals).toEqual([expect.stringMatching(/rules of the written procedure are not met/)]);
  });

  it("a person may stop with three, which costs uncertainty and is said [E68]", async () => {
    const enough = once(
      ({ hand }) => hand?.taken === 3,
      () => ({ command: "enough-readings", by }),
    );
    const { log } = await conductByHand(dialJob(twoPoints), { does: enough });
    const [hurried, whole] = pointsOf(log);
    if (hurried!.status !== "measured" || whole!.status !== "measured") throw new Error("not measured");
    expect(hurried!.readings).toBe(3);
    expect(hurried!.budget.U).toBeGreaterThan(1.3 * whole!.budget.U);
    expect(ofKind(log, "note-added")[0]).toMatchObject({ by, text: expect.stringMatching(/^Enough with 3 readings/) });
    const { refusals } = await conductByHand(
      dialJob(),
      {
        does: once(
          ({ hand }) => hand?.taken === 2,
          () => ({ command: "enough-readings", by }),
        ),
      },
      { until: ({ hand }) => hand?.taken === 3 },
    );
    expect(refusals).toEqual([expect.stringMatching(/^"enough-readings" cannot be done now/)]);
  });
});

describe("typed and wired beside each other", () => {
  it("a wired item is ready by the ordinary judgement when the typed one has its readings [E69]", async () => {
    const { log } = await conductByHand(dialJob({}, {}, { tolerance: { kelvin: 0.5 } }));
    expect(log.at(-1)).toMatchObject(completed);
    const settled = ofKind(log, "point-settled").filter(({ point }) => point === 0);
    expect(settled.map(({ item }) => item).sort()).toEqual(["item-a", "item-b"]);
    expect(settled.find(({ item }) => item === "item-b")!.evidence).not.toHaveProperty("typed");
    const { items } = evaluate(log);
    for (const { passes } of items)
      for (const point of passes[0]!.points) {
        if (point.status !== "measured") throw new Error(point.reason);
        expect(Math.abs(point.error.value - 0.1)).toBeLessThan(point.budget.U);
      }
    // The wired one is read all the while.
    expect(items[1]!.passes[0]!.points[0]).toMatchObject({ readings: expect.toSatisfy((n: number) => n > 100) });
  });

  it("where only the reference is typed, wired items are paired at its moments [E69]", async () => {
    const base = dialJob();
    const job = {
      ...base,
      bench: {
        ...base.bench,
        channels: {
          ...base.bench.channels,
          reference: { typed: true as const, unit: "Ω" as const, resolution: 0.001 },
          // The dial's own figure over a wire: no readout between.
          "item-1": { instrument: "item-a", input: 1, unit: "°C" as const },
        },
        instruments: [
          ...base.bench.instruments,
          { id: "item-a", entry: "modbus-transmitter", at: "simulated", role: "item" as const },
        ],
      },
    };
    const { log } = await conductByHand(job);
    expect(log.at(-1)).toMatchObject(completed);
    for (const point of pointsOf(log)) {
      if (point.status !== "measured") throw new Error(point.reason);
      expect(point.readings).toBeLessThan(13);
      expect(Math.abs(point.error.value - 0.1)).toBeLessThan(point.budget.U);
    }
  });
});

describe("a run by hand is its log", () => {
  it("every prefix leads on to a completed run, and folding gives what the screen shows [E70, E3]", async () => {
    const { log, runner } = await conductByHand(everythingByHand());
    const [opened] = log;
    if (opened?.kind !== "run-opened") throw new Error("no opening");
    expect(viewOf(replay(initialState(opened), log.slice(1)))).toEqual(runner.view());
    for (let cut = 2; cut < log.length; cut += 5) {
      const kept = log.slice(0, cut);
      const { log: again } = await conductByHand(
        opened.job,
        {
          does: ({ commands, stage }) =>
            stage === "paused" && commands.includes("resume") ? { command: "resume", by } : null,
        },
        { log: kept },
      );
      expect(again.slice(0, cut)).toEqual(kept);
      expect(again.at(-1)).toMatchObject(completed);
    }
  });

  it("a pause that a person asks for does not lose what was read; one after a fault begins anew [E70]", async () => {
    const pause = once(
      ({ hand }) => hand?.taken === 3,
      () => ({ command: "pause", by }),
    );
    const resume = once(
      ({ stage }) => stage === "paused",
      () => ({ command: "resume", by }),
    );
    const { log } = await conductByHand(dialJob(), {
      does: (view) => pause(view) ?? resume(view),
    });
    expect(log.at(-1)).toMatchObject(completed);
    expect(ofKind(log, "set-point-commanded")).toHaveLength(1);
    const [measured] = ofKind(log, "point-measured");
    expect(measured!.from).toBeLessThan(ofKind(log, "run-paused")[0]!.at);
  });

  it("what is kept of the log in memory evaluates as the whole of it, a late withdrawal included [E70]", async () => {
    const withdraw = once(
      ({ route }) => route[0]!.status === "measured",
      ({ hand }) => ({
        command: "withdraw-reading",
        by,
        channel: "item-1",
        time: hand!.readings.at(-2)!.time,
        reason: "seen on the list",
      }),
    );
    const { log } = await conductByHand(dialJob({ ...twoPoints, readingsByHand: { count: 6, interval: 120 } }), {
      does: withdraw,
    });
    const kept = new KeptLog();
    const looks = log.flatMap((event, index) => {
      kept.add(event);
      return event.kind === "readings-taken" ? [] : [{ short: evaluate(kept.events()), whole: index + 1 }];
    });
    for (const { short, whole } of looks) expect(short).toEqual(evaluate(log.slice(0, whole)));
    expect(ofKind(log, "reading-rejected")).toHaveLength(1);
    const [first] = pointsOf(log);
    expect(first).toMatchObject({ status: "measured", readings: ofKind(log, "point-settled")[0]!.evidence.typed! - 1 });
  });
});

describe("the time left by hand", () => {
  it("counts the rounds that are to come, and later points as they usually take [E65]", async () => {
    const finishes: number[] = [];
    const { log } = await conductByHand(dialJob(twoPoints), {
      does: ({ finish, hand }) => {
        if (finish !== null && hand?.taken === 2) finishes.push(finish.at);
        return null;
      },
    });
    const end = log.at(-1)!.at;
    expect(finishes.length).toBeGreaterThan(0);
    for (const at of finishes) expect(Math.abs(at - end)).toBeLessThan(0.6 * end);
  });
});

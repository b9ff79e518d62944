import { describe, expect, it } from "vitest";
import { evaluate, type RunEvent, type RunEventOf } from "#calibration";
import { viewOf, type EngineView } from "../view.ts";
import { replay } from "../evolve.ts";
import { initialState } from "../open-run.ts";
import type { RunCommand } from "../inputs.ts";
import { by, conductByHand, dialJob, everythingByHand, twoPoints } from "./by-hand.test-support.ts";

const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);
const typedIn = (log: readonly RunEvent[]) => ofKind(log, "readings-taken").filter((event) => event.by !== undefined);
const pointsOf = (log: readonly RunEvent[]) => evaluate(log).items[0]!.passes[0]!.points;
const last = (log: readonly RunEvent[]) => log.at(-1);
const completed = { kind: "run-ended", outcome: "completed" };

/** A command, once, when the run shows something. */
const once = (when: (view: EngineView) => boolean, command: (view: EngineView) => RunCommand) => {
  let done = false;
  return (view: EngineView): RunCommand | null => {
    if (done || !when(view)) return null;
    done = true;
    return command(view);
  };
};

describe("a reading that a person types", () => {
  it("stands in the log with its digits, its moment and its name, and is evaluated as any other [E61]", async () => {
    const { log, refusals } = await conductByHand(dialJob(), {
      types: (_channel, shown) => `${shown.replace(".", ",")} °C`,
    });
    expect(last(log)).toMatchObject(completed);
    expect(refusals).toEqual([]);
    const typed = typedIn(log);
    expect(typed[0]).toMatchObject({ channel: "item-1", unit: "°C", by, wire: [expect.stringMatching(/^\d+,\d °C$/)] });
    for (const { times, values, wire, at } of typed) {
      expect(times).toEqual([at]);
      expect(Number.parseFloat(wire![0]!.replace(",", "."))).toBe(values[0]);
    }
    // The dial is 0.1 K high on this bench.
    for (const point of pointsOf(log)) {
      if (point.status !== "measured") throw new Error(point.reason);
      expect(Math.abs(point.error.value - 0.1)).toBeLessThan(point.budget.U);
      expect(point.readings).toBeGreaterThanOrEqual(6);
    }
  });

  it("may have been seen a while ago, within the approach and five minutes, and once for each moment [E61]", async () => {
    const asked: string[] = [];
    const { log, refusals } = await conductByHand(
      dialJob(),
      {
        does: (view) => {
          if (view.hand?.asked == null || asked.length > 3) return null;
          asked.push("");
          const ago = [301, 20, 20, 5000][asked.length - 1]!;
          return { command: "enter-reading", by, channel: "item-1", typed: "50.2", ago };
        },
      },
      { until: ({ hand }) => (hand?.readings.length ?? 0) >= 3 },
    );
    expect(typedIn(log)[0]!.times[0]).toBe(typedIn(log)[0]!.at - 20);
    expect(refusals[0]).toMatch(/within 5 minutes of being seen/);
    expect(refusals.join()).toMatch(/typed within 5 minutes/);
  });

  it("in another unit, without a number, or on a channel that is not typed is refused with what would be right [E61]", async () => {
    const words = ["50.2 Ω", "fifty", "1.000,2", ""];
    let tries = 0;
    const { refusals } = await conductByHand(
      dialJob(),
      {
        does: (view) => {
          if (view.hand?.asked == null || tries > words.length) return null;
          tries += 1;
          const channel = tries > words.length ? "reference" : "item-1";
          return { command: "enter-reading", by, channel, typed: words[tries - 1] ?? "50" };
        },
      },
      { until: ({ hand }) => (hand?.readings.length ?? 0) >= 1 },
    );
    expect(refusals).toEqual([
      "This channel is read in °C, not in Ω. Type the value in °C.",
      expect.stringContaining("is not a number"),
      expect.stringContaining("has a comma and a point"),
      "Type what the display shows.",
      '"reference" is not typed in this job; typed are item-1.',
    ]);
  });
});

describe("a reading that is not likely", () => {
  const firstTen = (typed: (shown: string, tries: number) => string) => {
    let tries = 0;
    return conductByHand(
      dialJob(),
      {
        types: (_channel, shown) => {
          tries += 1;
          return typed(shown, tries);
        },
        does: (view) =>
          view.hand?.question == null || tries > 1
            ? null
            : {
                command: "enter-reading",
                by,
                channel: "item-1",
                typed: /Is it (.+)\?$/.exec(view.hand.question.question)![1]!,
              },
      },
      { until: ({ hand }) => (hand?.readings.length ?? 0) >= 5 },
    );
  };

  it("is asked back with what may be meant, and taken once it is typed again; both stand in the log [E62]", async () => {
    const { log } = await firstTen((shown, tries) => (tries === 1 ? shown.replace(".", "") : shown));
    const [question] = ofKind(log, "reading-questioned");
    expect(question).toMatchObject({ typed: "500", value: 500, by });
    expect(question!.question).toMatch(/^500 °C is beyond what TI-101 may see .* Is it 50\?$/);
    const typed = typedIn(log);
    expect(typed[0]).toMatchObject({ values: [50], wire: ["50"] });
    expect(typed[0]).not.toHaveProperty("confirmed");
  });

  it("far from the earlier ones is asked back, and taken as read once somebody says so [E62]", async () => {
    const { log } = await firstTen((shown, tries) => (tries === 5 ? (Number(shown) + 3).toFixed(1) : shown));
    const [question] = ofKind(log, "reading-questioned");
    expect(question!.question).toMatch(/K above what is expected of TI-101 as its readings before make likely/);
    const confirmed = typedIn(log).filter((event) => event.confirmed === true);
    expect(confirmed).toHaveLength(1);
    expect(confirmed[0]!.wire).toEqual([question!.typed]);
  });

  it("is confirmed by being typed the same again, and a question lets nothing go on meanwhile [E62]", async () => {
    let typedOnce = false;
    const { log } = await conductByHand(
      dialJob(),
      {
        does: (view) => {
          if (view.hand?.question != null) return { command: "enter-reading", by, channel: "item-1", typed: "56.0" };
          if (view.hand?.asked == null || typedOnce) return null;
          typedOnce = true;
          return { command: "enter-reading", by, channel: "item-1", typed: "56" };
        },
      },
      { until: ({ hand }) => (hand?.readings.length ?? 0) >= 2 },
    );
    expect(typedIn(log)[0]).toMatchObject({ values: [56], confirmed: true });
  });

  it("beyond the limits takes the heat away once it is confirmed [E62, E4]", async () => {
    const { log, bench } = await conductByHand(
      dialJob(),
      { types: () => "260" },
      { until: ({ stage }) => stage === "paused" },
    );
    expect(ofKind(log, "fault-seen").at(-1)).toMatchObject({ code: "run.limit" });
    expect(bench.switched.at(-1)).toBe(false);
  });
});

describe("a slip that was taken", () => {
  it("is withdrawn with a reason, stays in the log, and counts for nothing; its round is read again [E63]", async () => {
    const withdraw = once(
      ({ hand }) => hand?.taken === 2,
      ({ hand }) => ({
        command: "withdraw-reading",
        by,
        channel: "item-1",
        time: hand!.readings[0]!.time,
        reason: "the wrong dial",
      }),
    );
    const { log, runner } = await conductByHand(dialJob(), { does: withdraw });
    const [rejected] = ofKind(log, "reading-rejected");
    expect(rejected).toMatchObject({ channel: "item-1", reason: "the wrong dial", by });
    expect(typedIn(log).map(({ times }) => times[0])).toContain(rejected!.time);
    const [point] = pointsOf(log);
    expect(point!.status === "measured" && point!.indication.origin).not.toContain(
      typedIn(log).find(({ times }) => times[0] === rejected!.time)!.n,
    );
    expect(runner.view().hand!.readings.find(({ withdrawn }) => withdrawn !== null)).toMatchObject({
      withdrawn: { reason: "the wrong dial", by },
    });
  });

  it("is not taken from a measured point that would have fewer than three readings left [E63]", async () => {
    const enough = once(
      ({ hand }) => hand?.taken === 3,
      () => ({ command: "enough-readings", by }),
    );
    const withdraw = once(
      ({ route }) => route[0]!.status === "measured",
      ({ hand }) => ({
        command: "withdraw-reading",
        by,
        channel: "item-1",
        time: hand!.readings.at(-1)!.time,
        reason: "too late",
      }),
    );
    const { refusals, log } = await conductByHand(dialJob(twoPoints), {
      does: (view) => enough(view) ?? withdraw(view),
    });
    expect(refusals).toEqual([expect.stringMatching(/this point has 2 readings, and 3 are needed\. Repeat the point/)]);
    expect(ofKind(log, "reading-rejected")).toEqual([]);
  });
});

describe("a heat source without a wire", () => {
  it("is set by a person, who confirms; nothing is commanded, and nothing is said that nobody did [E64]", async () => {
    const { log, runner, refusals } = await conductByHand(everythingByHand(twoPoints));
    expect(last(log)).toMatchObject(completed);
    expect(refusals).toEqual([]);
    expect(ofKind(log, "output-switched")).toEqual([]);
    const confirmed = ofKind(log, "set-point-confirmed");
    expect(confirmed.map(({ temperature }) => temperature)).toEqual([50, 100]);
    // Nothing is asked before that.
    for (const [index, { at }] of ofKind(log, "set-point-commanded").entries())
      expect(ofKind(log, "reading-asked").filter((event) => event.at >= at && event.at < confirmed[index]!.at)).toEqual(
        [],
      );
    expect(runner.view().sentence.now).toMatch(/Switch the source off at its own switch/);
  });

  it("set to something else is no confirmation, and the source of a run that is wired is left to its wire [E64]", async () => {
    const wrong = once(
      ({ hand }) => hand?.setPoint === 50,
      () => ({ command: "confirm-set-point", by, typed: "55" }),
    );
    const { refusals } = await conductByHand(
      everythingByHand(),
      { does: wrong },
      { until: ({ hand }) => (hand?.readings.length ?? 0) > 0 },
    );
    expect(refusals).toEqual(["The run asks for 50 °C, and 55 °C was set. Set 50 °C, then confirm."]);
    const { bench } = await conductByHand(dialJob());
    expect(bench.commanded).toEqual([50]);
  });
});

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
    expect(last(log)).toMatchObject(completed);
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
    expect(last(log)).toMatchObject(completed);
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
      expect(last(again)).toMatchObject(completed);
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
    expect(last(log)).toMatchObject(completed);
    expect(ofKind(log, "set-point-commanded")).toHaveLength(1);
    const [measured] = ofKind(log, "point-measured");
    expect(measured!.from).toBeLessThan(ofKind(log, "run-paused")[0]!.at);
  });
});

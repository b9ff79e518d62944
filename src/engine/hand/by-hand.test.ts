import { describe, expect, it } from "vitest";
import {
  by,
  conductByHand,
  dialJob,
  everythingByHand,
  ofKind,
  once,
  pointsOf,
  twoPoints,
  typedIn,
} from "./by-hand.test-support.ts";

const completed = { kind: "run-ended", outcome: "completed" };

describe("a reading that a person types", () => {
  it("stands in the log with its digits, its moment and its name, and is evaluated as any other [E61]", async () => {
    const { log, refusals } = await conductByHand(dialJob(), {
      types: (_channel, shown) => `${shown.replace(".", ",")} °C`,
    });
    expect(log.at(-1)).toMatchObject(completed);
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
    expect(log.at(-1)).toMatchObject(completed);
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

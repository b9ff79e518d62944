import { describe, expect, it } from "vitest";
import { failure, Fault, success, type Outcome } from "#fault";
import { jobSchema, limitsOf, type RunEvent, type RunEventOf } from "#calibration";
import { AnalyticBench, inventedJob, JumpingClock, MemoryJournal, openingOf } from "./analytic-bench.test-support.ts";
import { obstaclesOf } from "./readiness.ts";
import { createRunner, type Runner } from "./runner.ts";
import type { EngineView } from "./view.ts";

const by = "Ines Holloway";

/** A run with everything in reach, and a promise for the first view that fulfils a condition. */
const prepared = (job = inventedJob(), catalog: readonly Record<string, unknown>[] = []) => {
  const clock = new JumpingClock();
  const bench = new AnalyticBench(job, clock);
  const journal = new MemoryJournal([{ ...openingOf(job), catalog: [...catalog] } as RunEvent]);
  const waits: { when: (view: EngineView) => boolean; resolve: (view: EngineView) => void }[] = [];
  const runner: Runner = createRunner({
    bench,
    clock,
    journal,
    log: journal.events,
    onView: (view) => {
      for (const wait of waits.filter(({ when }) => when(view))) wait.resolve(view);
    },
  });
  const until = (when: (view: EngineView) => boolean): Promise<EngineView> =>
    new Promise((resolve) => waits.push({ when, resolve }));
  return { job, clock, bench, journal, runner, until };
};

const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);

const ohms = (temperature: number): number => 100 * (1 + 3.9083e-3 * temperature - 5.775e-7 * temperature ** 2);

/** From a moment on a channel reads so many degrees, whatever is true. */
const reading = ({ bench, clock }: ReturnType<typeof prepared>, from: number, channel: string, value: () => number) => {
  const read = bench.read.bind(bench);
  bench.read = async (channels) => {
    const answers = await read(channels);
    if (clock.now() < from) return answers;
    const shown = value();
    return answers.map((answer) =>
      answer.channel === channel ? { ...answer, outcome: success({ value: shown, wire: shown.toFixed(4) }) } : answer,
    );
  };
};

describe("the limits of a run in one place", () => {
  it("are those of job, kit and items, the tightest with its owner [E73]", () => {
    const job = inventedJob({
      item: { limits: { minimum: -30, maximum: 150, ramp: 4 } },
      limits: { maximum: 180, ramp: 6 },
    });
    expect(limitsOf(job)).toEqual({
      lowest: { value: -30, whose: "item TT-101" },
      highest: { value: 150, whose: "item TT-101" },
      coldest: { value: -30, whose: "item TT-101" },
      hottest: { value: 150, whose: "item TT-101" },
      overshoot: 5,
      ramp: { value: 4, whose: "item TT-101" },
      unattended: null,
    });
    const own = inventedJob({ limits: { minimum: 0, maximum: 120, overshoot: 2, unattended: 900 } });
    expect(limitsOf(own)).toMatchObject({
      highest: { value: 120, whose: "this job" },
      lowest: { value: 0, whose: "this job" },
      overshoot: 2,
      ramp: null,
      unattended: { value: 900, whose: "this job" },
    });
    // The source's range binds what is commanded, not what a probe may read.
    expect(limitsOf(inventedJob())).toMatchObject({ lowest: { value: -40 }, coldest: { value: -50 } });
  });

  it("refuse a point beyond the job's own where the job is read, by its place, and name it at the plan [E73]", () => {
    const wrong = { ...inventedJob(), limits: { maximum: 80 } };
    const parsed = jobSchema.safeParse(wrong);
    expect(parsed.error?.issues).toMatchObject([
      { path: ["procedure", "points", 1, "temperature"], message: expect.stringContaining("the job's own limits") },
    ]);
    expect(obstaclesOf(wrong, "2026-11-25")).toMatchObject([
      { code: "run.limit", message: expect.stringContaining("outside what this job may see") },
    ]);
  });

  it("hold at every command: a point added beyond them is refused [E73]", async () => {
    const { runner, bench } = prepared(inventedJob({ limits: { maximum: 110 } }));
    await runner.start();
    await runner.command({ command: "start", by });
    const refused = await runner.command({ command: "add-point", by, reason: "asked for", temperature: 120 });
    expect(refused).toMatchObject({ ok: false, fault: { message: expect.stringContaining("this job") } });
    await runner.command({ command: "stop", by });
    expect(Math.max(...bench.commanded)).toBeLessThanOrEqual(110);
  });
});

describe("a reading beyond a limit", () => {
  it.each([
    ["reference", "The reference", () => ohms(212), "item TT-101"],
    ["item-1", "TT-101", () => ohms(212), "item TT-101"],
    ["source", "The heat source's own sensor", () => 240, "heat source B-1"],
  ])(
    "of %s twice in a row takes the heat away at once, and says whose limit it is [E74]",
    async (channel, who, value, whose) => {
      const run = prepared();
      reading(run, 103, channel, value);
      await run.runner.start();
      const paused = run.until(({ stage }) => stage === "paused");
      await run.runner.command({ command: "start", by });
      const { sentence } = await paused;
      expect(sentence.happening).toContain(who);
      expect(sentence.happening).toContain(`above the limit of 200 °C that ${whose} sets`);
      expect(run.bench.switched.at(-1)).toBe(false);
      const fault = ofKind(run.journal.events, "fault-seen")[0]!;
      expect(fault).toMatchObject({ code: "run.limit" });
      // Two readings, 2 s apart, and no block of ten seconds in between.
      expect(fault.at).toBeLessThanOrEqual(103 + 4);
      await run.runner.command({ command: "stop", by });
    },
  );

  it("once alone is a slip and does nothing, and so does a room that is colder than the lowest limit [E74]", async () => {
    const run = prepared(inventedJob({ limits: { minimum: 40 } }));
    let once = true;
    reading(run, 150, "reference", () => {
      const value = once ? ohms(320) : ohms(50);
      once = false;
      return value;
    });
    await run.runner.start();
    await run.runner.command({ command: "start", by });
    await run.until(({ at }) => at > 400);
    expect(ofKind(run.journal.events, "fault-seen").filter(({ code }) => code === "run.limit")).toEqual([]);
    await run.runner.command({ command: "stop", by });
  });
});

describe("a limit of the ramp", () => {
  const steepest = (log: readonly RunEvent[]): number => {
    const sent = log.flatMap((event) => (event.kind === "set-point-stepped" ? [event] : []));
    return Math.max(
      ...sent.slice(1).map(({ at, temperature }, index) => {
        const before = sent[index]!;
        return at === before.at ? 0 : (60 * Math.abs(temperature - before.temperature)) / (at - before.at);
      }),
    );
  };

  it("moves the set point in steps where the source has no ramp of its own, each in the log first [E75]", async () => {
    const { runner, bench, journal } = prepared(
      inventedJob({ limits: { ramp: 5 }, procedure: { points: [{ temperature: 60 }, { temperature: 40 }] } }),
    );
    await runner.start();
    await runner.command({ command: "start", by });
    expect(await runner.done).toEqual({ outcome: "completed" });
    expect(bench.commanded[0]).toBeLessThan(30);
    expect(bench.commanded).toContain(60);
    expect(bench.commanded.at(-1)).toBe(40);
    const stepped = ofKind(journal.events, "set-point-stepped");
    expect(stepped.length).toBeGreaterThan(20);
    expect(
      steepest(journal.events.filter(({ n }) => n <= stepped.findLast(({ point }) => point === 0)!.n)),
    ).toBeLessThan(5.01);
    expect(bench.commanded).toEqual(expect.arrayContaining(stepped.map(({ temperature }) => temperature)));
  });

  it("is given to a source that has a ramp of its own [E75]", async () => {
    const entry = { entry: "bath-entry", rampRate: { tell: "RATE {value}" } };
    const job = inventedJob({ limits: { ramp: 5 } });
    const { instruments } = job.bench;
    const named = {
      ...job,
      bench: {
        ...job.bench,
        instruments: instruments.map((each) => (each.role === "source" ? { ...each, entry: "bath-entry" } : each)),
      },
    };
    const { runner, bench } = prepared(named, [entry]);
    const rates: (number | null)[] = [];
    const ramped = Object.assign(bench, {
      setRampRate: async (rate: number | null): Promise<Outcome<null>> => {
        rates.push(rate);
        return success(null);
      },
    });
    await runner.start();
    await runner.command({ command: "start", by });
    await runner.done;
    expect(rates).toEqual([5, 5]);
    expect(ramped.commanded).toEqual([50, 100]);
  });
});

describe("a source that heats with nobody near", () => {
  it("is switched off after the time that the job allows, and the view says when [E76]", async () => {
    const { runner, bench, journal, until } = prepared(inventedJob({ limits: { unattended: 300 } }));
    await runner.start();
    await runner.command({ command: "start", by });
    await until(({ at, attention }) => at > 200 && attention !== null);
    runner.attend();
    const touched = (await until(({ attention }) => (attention?.until ?? 0) > 480)).attention!.until;
    await until(({ stage }) => stage === "paused");
    expect(bench.switched.at(-1)).toBe(false);
    const fault = ofKind(journal.events, "fault-seen")[0]!;
    expect(fault).toMatchObject({ code: "run.unattended", message: expect.stringContaining("5 minutes") });
    expect(fault.at).toBeGreaterThanOrEqual(touched);
    expect(fault.at).toBeLessThan(touched + 5);
    // Whoever resumes is there: the point is approached anew.
    const again = until(({ stage }) => stage === "approaching" || stage === "settling");
    await runner.command({ command: "resume", by });
    await again;
    expect(bench.switched.at(-1)).toBe(true);
    await runner.command({ command: "stop", by });
  });
});

describe("contact with the source that is lost", () => {
  const entry = { entry: "bath-entry", whenLeft: { does: "holds", atDevice: "Press its off key." } };
  const lostJob = () => {
    const job = inventedJob();
    const instruments = job.bench.instruments.map((each) =>
      each.role === "source" ? { ...each, entry: "bath-entry" } : each,
    );
    return { ...job, bench: { ...job.bench, instruments } };
  };

  const broken = async () => {
    const run = prepared(lostJob(), [entry]);
    // Down from 100 s on, until somebody puts it right.
    const link = {
      right: false,
      get down() {
        return !link.right && run.clock.now() >= 100;
      },
    };
    const read = run.bench.read.bind(run.bench);
    run.bench.read = async (channels) =>
      (await read(channels)).map((answer) =>
        link.down && answer.channel === "source"
          ? { ...answer, outcome: failure("instrument.timeout", "The bath does not answer.") }
          : answer,
      );
    const send = run.bench.commandSetPoint.bind(run.bench);
    run.bench.commandSetPoint = async (temperature) =>
      link.down ? failure("instrument.timeout", "The bath does not answer.") : send(temperature);
    const asked: number[] = [];
    Object.assign(run.bench, {
      sourceState: async () => {
        asked.push(run.clock.now());
        return link.down
          ? failure("instrument.timeout", "The bath does not answer.")
          : success({ setPoint: 50, output: true });
      },
    });
    await run.runner.start();
    await run.runner.command({ command: "start", by });
    const view = await run.until(({ contact }) => contact !== null);
    return { ...run, link, view, asked };
  };

  it("is said at once: where it was sent, whether it heats, what it read and when, what it does alone, what to do [E77]", async () => {
    const { view, journal, runner, link } = await broken();
    expect(view.stage).toBe("paused");
    expect(view.contact).toMatchObject({
      setPoint: 50,
      output: true,
      alone: { does: "holds" },
      atDevice: "Press its off key.",
    });
    expect(view.sentence.happening).toMatch(
      /^Contact with the heat source is lost\. It was last sent to 50 °C, its output was last switched on, and it read \d+\.\d °C \d+ s before\. By itself it goes on holding that temperature\. Press its off key\.$/,
    );
    const lost = journal.events.findIndex(({ kind }) => kind === "source-lost");
    expect(
      journal.events
        .slice(lost)
        .map(({ kind }) => kind)
        .slice(0, 3),
    ).toEqual(["source-lost", "fault-seen", "run-paused"]);
    link.right = true;
    await runner.command({ command: "stop", by });
  });

  it("that is back is asked how it stands before anything is sent [E78]", async () => {
    const { runner, link, journal, bench, asked } = await broken();
    const before = bench.commanded.length;
    expect(await runner.command({ command: "resume", by })).toMatchObject({ ok: true, value: { stage: "paused" } });
    expect(runner.view().sentence.happening).toContain("Contact with the heat source is lost");
    expect(ofKind(journal.events, "fault-seen").at(-1)?.message).toContain("still cannot be asked");
    expect(bench.commanded.length).toBe(before);
    link.right = true;
    expect(await runner.command({ command: "resume", by })).toMatchObject({ ok: true, value: { contact: null } });
    expect(asked).toHaveLength(2);
    const kinds = journal.events.map(({ kind }) => kind);
    expect(kinds.indexOf("source-found")).toBeLessThan(kinds.lastIndexOf("set-point-commanded"));
    expect(ofKind(journal.events, "source-found")).toMatchObject([{ setPoint: 50, output: true, by }]);
    expect(bench.commanded.at(-1)).toBe(50);
    expect(await runner.done).toEqual({ outcome: "completed" });
  });
});

describe("stop", () => {
  it("takes the heat away while the journal hangs, shows it, and writes it down when it can [E79]", async () => {
    const { runner, bench, journal, until } = prepared();
    await runner.start();
    await runner.command({ command: "start", by });
    await until(({ at }) => at > 60);
    let goOn: () => void = () => undefined;
    const append = journal.append.bind(journal);
    const hangs = new Promise<void>((resolve) => (goOn = resolve));
    journal.append = async (drafts) => {
      await hangs;
      return append(drafts);
    };
    await until(({ at }) => at > 60);
    const view = runner.halt(by);
    expect(view.stage).toBe("paused");
    expect(view.sentence.happening).toContain(`Stopped by ${by}`);
    await expect.poll(() => bench.switched.at(-1)).toBe(false);
    await expect.poll(() => runner.view().sentence.happening).toContain("The heat source is off");
    journal.append = append;
    goOn();
    const recorded = await until(({ commands }) => commands.includes("resume"));
    expect(recorded.stage).toBe("paused");
    expect(ofKind(journal.events, "run-paused").at(-1)).toMatchObject({
      by,
      reason: expect.stringContaining("at once"),
    });
    await runner.command({ command: "resume", by });
    expect(await runner.done).toEqual({ outcome: "completed" });
  });

  it("lets nothing heat that was on its way to the source already [E79]", async () => {
    const { runner, bench, until } = prepared();
    let answer: () => void = () => undefined;
    const slow = new Promise<void>((resolve) => (answer = resolve));
    const switchOutput = bench.switchOutput.bind(bench);
    bench.switchOutput = async (on) => {
      if (on) await slow;
      return switchOutput(on);
    };
    await runner.start();
    void runner.command({ command: "start", by });
    await expect.poll(() => bench.commanded.length).toBe(1);
    runner.halt(by);
    await expect.poll(() => bench.switched).toEqual([false]);
    const recorded = until(({ commands }) => commands.includes("resume"));
    answer();
    await recorded;
    // It was switched on by what had been sent before, and off again at once.
    expect(bench.switched.slice(0, 3)).toEqual([false, true, false]);
    expect(bench.switched.at(-1)).toBe(false);
    await runner.command({ command: "stop", by });
    expect(await runner.done).toEqual({ outcome: "stopped" });
  });

  it("that cannot be recorded ends the run as soon as it can be [E79]", async () => {
    const { runner, bench, journal } = prepared();
    await runner.start();
    await runner.command({ command: "start", by });
    journal.failing = new Fault("records.read-only", "The disk is full.");
    expect(await runner.command({ command: "stop", by, reason: "enough" })).toMatchObject({ ok: false });
    expect(bench.switched.at(-1)).toBe(false);
    expect(runner.view().sentence.happening).toContain("Nothing can be recorded yet: The disk is full.");
    journal.failing = null;
    expect(await runner.done).toEqual({ outcome: "stopped" });
    expect(journal.events.at(-1)).toMatchObject({ kind: "run-ended", outcome: "stopped", by, reason: "enough" });
  });
});

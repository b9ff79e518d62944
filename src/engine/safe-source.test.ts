import { describe, expect, it } from "vitest";
import { Fault, failure, success } from "#fault";
import { AnalyticBench, inventedJob, JumpingClock, MemoryJournal, openingOf } from "./analytic-bench.test-support.ts";
import { createRunner, type Runner } from "./runner.ts";
import type { EngineView } from "./view.ts";

const by = "Ines Holloway";

/** A run with everything in reach, and a promise for the first view that fulfils a condition. */
const prepared = () => {
  const job = inventedJob();
  const clock = new JumpingClock();
  const bench = new AnalyticBench(job, clock);
  const journal = new MemoryJournal([openingOf(job)]);
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

describe("the source", () => {
  it("that was cooled because nothing could be recorded stays off until somebody resumes, and the log says so [E8]", async () => {
    const { bench, journal, runner, until } = prepared();
    await runner.start();
    await runner.command({ command: "start", by });
    journal.failing = new Fault("records.read-only", "The disk is full.");
    await expect.poll(() => bench.switched.at(-1)).toBe(false);
    const paused = until((view) => view.stage === "paused" && view.commands.includes("resume"));
    journal.failing = null;
    expect((await paused).sentence.happening).toContain("nothing could be recorded");
    const last = journal.events.filter((event) => event.kind !== "readings-taken").slice(-2);
    expect(last).toMatchObject([{ kind: "output-switched", on: false }, { kind: "run-paused" }]);
    expect(bench.switched.at(-1)).toBe(false);
    await runner.command({ command: "resume", by });
    expect(bench.switched.at(-1)).toBe(true);
    expect(await runner.done).toEqual({ outcome: "completed" });
  });

  it("waits switched off when a run was broken off, and is sent and switched on again when somebody resumes [E17]", async () => {
    const first = prepared();
    await first.runner.start();
    await first.runner.command({ command: "start", by });
    await first.until((view) => view.stage === "settling");
    await first.runner.leave();
    const log = [...first.journal.events];
    const clock = new JumpingClock(log.at(-1)!.at + 600);
    const bench = new AnalyticBench(first.job, clock);
    const journal = new MemoryJournal(log);
    const runner = createRunner({ bench, clock, journal, log });
    await runner.start();
    expect(runner.view().stage).toBe("paused");
    await runner.command({ command: "resume", by });
    expect(bench.commanded[0]).toBe(50);
    expect(bench.switched.slice(0, 2)).toEqual([false, true]);
    expect(await runner.done).toEqual({ outcome: "completed" });
  });

  it("that does not answer to being switched off at the end is tried again, then said [E6]", async () => {
    const { bench, journal, runner } = prepared();
    let tries = 0;
    bench.switchOutput = async (on) => {
      if (on) return success(null);
      tries += 1;
      return failure("instrument.timeout", "The bath did not answer.");
    };
    await runner.start();
    await runner.command({ command: "start", by });
    await runner.command({ command: "stop", by, reason: "enough" });
    await runner.done;
    expect(tries).toBeGreaterThanOrEqual(3);
    const fault = journal.events.findLast((event) => event.kind === "fault-seen");
    expect(fault).toMatchObject({ code: "instrument.timeout" });
    const { sentence } = runner.view();
    expect(`${sentence.happening} ${sentence.now}`).toContain("could not be switched off");
    expect(`${sentence.happening} ${sentence.now}`).toContain("at its own switch");
    expect(sentence.happening).not.toContain("The source is off");
  });

  it.each([
    ["above", 300],
    ["below", -80],
  ])("that runs away %s what reference and item may see is switched off at once [E4]", async (word, reading) => {
    const { bench, journal, runner, until, clock } = prepared();
    const read = bench.read.bind(bench);
    bench.read = async (channels) => {
      const answers = await read(channels);
      if (clock.now() < 60) return answers;
      const value = 100 * (1 + 3.9083e-3 * reading - 5.775e-7 * reading ** 2);
      return answers.map((answer) =>
        answer.channel === "reference" ? { ...answer, outcome: success({ value, wire: value.toFixed(3) }) } : answer,
      );
    };
    await runner.start();
    await runner.command({ command: "start", by });
    const view = await until(({ stage }) => stage === "paused");
    expect(view.sentence.happening).toContain(`${word} the limit`);
    expect(bench.switched.at(-1)).toBe(false);
    expect(journal.events.find((event) => event.kind === "fault-seen")).toMatchObject({ code: "run.limit" });
    await runner.command({ command: "stop", by });
  });
});

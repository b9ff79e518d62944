import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf } from "#thermometry";
import { jobSchema, type Job } from "#calibration";
import {
  AnalyticBench,
  inventedJob,
  JumpingClock,
  MemoryJournal,
  openingOf,
  type BenchTroubles,
} from "./analytic-bench.test-support.ts";
import { createRunner, type Runner } from "./runner.ts";
import type { EngineView } from "./view.ts";

const by = "Ines Holloway";

/** Conducts a run until it ends or pauses, and answers with its log. */
const conduct = async (
  job: Job,
  {
    troubles = {},
    look = () => undefined,
    prepare = () => undefined,
  }: { troubles?: BenchTroubles; look?: (view: EngineView) => void; prepare?: (bench: AnalyticBench) => void },
) => {
  const clock = new JumpingClock();
  const bench = new AnalyticBench(job, clock, troubles);
  prepare(bench);
  const journal = new MemoryJournal([openingOf(job)]);
  const stopped = Promise.withResolvers<null>();
  const runner: Runner = createRunner({
    bench,
    clock,
    journal,
    log: journal.events,
    onView: (view) => {
      look(view);
      if (view.stage === "paused") stopped.resolve(null);
    },
  });
  await runner.start();
  await runner.command({ command: "start", by });
  await Promise.race([runner.done, stopped.promise]);
  await runner.leave();
  return journal.events;
};

/** The invented item and a second one of its kind. */
const twoItems = (): Job => {
  const job = inventedJob({ procedure: { points: [{ temperature: 60 }] } });
  const item = job.items[0]!;
  return jobSchema.parse({
    ...job,
    items: [item, { ...item, id: "item-b", tag: "TT-102", serial: "0002", channel: "item-2" }],
    bench: {
      ...job.bench,
      channels: { ...job.bench.channels, "item-2": { instrument: "readout-1", input: 3, unit: "Ω" } },
    },
  });
};

describe("several items at a point", () => {
  it("are settled at one moment: one that was ready and is disturbed since is waited for again [E13]", async () => {
    const job = twoItems();
    const { sensor } = job.items[0]!;
    let firstReady: number | null = null;
    // The second item is slow; shortly after the first was ready, it slips out for five minutes, then is pushed in again.
    const log = await conduct(job, {
      look: (view) => {
        if (firstReady === null && view.settling.some((each) => each.item === "item-a" && each.ready))
          firstReady = view.at;
      },
      prepare: (bench) => {
        const read = bench.read.bind(bench);
        bench.read = async (channels) => {
          const answers = await read(channels);
          return answers.map((answer) => {
            if (!answer.outcome.ok || !answer.channel.startsWith("item-")) return answer;
            const late = answer.channel === "item-2" ? -8 * Math.exp(-answer.time / 150) : 0;
            const since = firstReady === null ? -1 : answer.time - firstReady - 20;
            const slipping = answer.channel === "item-1" && since > 0 && since < 300 ? -0.01 * since : 0;
            const shift = unwrap(signalOf(sensor, 60 + late + slipping)).signal - unwrap(signalOf(sensor, 60)).signal;
            const value = answer.outcome.value.value + shift;
            return { ...answer, outcome: { ok: true as const, value: { value, wire: value.toFixed(5) } } };
          });
        };
      },
    });
    const settled = log.filter((event) => event.kind === "point-settled");
    expect(settled.map((event) => event.item)).toEqual(["item-a", "item-b"]);
    expect(new Set(settled.map((event) => event.at)).size).toBe(1);
    expect(settled[0]!.at).toBeGreaterThan(firstReady! + 320 + 120);
    expect(settled[0]!.evidence.estimate).toBeCloseTo(0.1, 1);
    expect(log.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
  });
});

/** A transmitter of 40 to 140 °C in place of the probe; the source starts at 22 °C. */
const transmitterJob = (lower: number): Job => {
  const job = inventedJob({
    item: { sensor: { kind: "loop", lower, upper: 140 }, unit: "mA", tolerance: { kelvin: 1 } },
    procedure: { points: [{ temperature: 60 }], settling: { target: { kelvin: 0.2 } } },
  });
  return jobSchema.parse({
    ...job,
    bench: {
      ...job.bench,
      channels: { ...job.bench.channels, "item-1": { instrument: "readout-1", input: 2, unit: "mA" } },
    },
  });
};

describe("a transmitter outside its range", () => {
  /** Saturates as NE 43 says, with the readout a little off, so that some readings give no temperature at all. */
  const saturating = (lower: number) => (bench: AnalyticBench) => {
    const read = bench.read.bind(bench);
    bench.read = async (channels) => {
      const answers = await read(channels.filter((channel) => channel !== "item-1"));
      const reference = answers.find((answer) => answer.channel === "reference");
      if (reference === undefined || !reference.outcome.ok) return answers;
      const temperature = (reference.outcome.value.value - 100) / 0.3851;
      const current = Math.min(20.5, Math.max(3.8, 4 + (16 * (temperature - lower)) / (140 - lower))) - 0.001;
      return [
        ...answers,
        {
          channel: "item-1",
          time: reference.time,
          outcome: { ok: true as const, value: { value: current, wire: current.toFixed(3) } },
        },
      ];
    };
  };

  it("is no fault on the way to a point inside it [E14]", async () => {
    const log = await conduct(transmitterJob(40), { prepare: saturating(40) });
    expect(log.filter((event) => event.kind === "fault-seen")).toEqual([]);
    expect(log.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
  });

  it("is named when the source rests and it still stays there [E14]", async () => {
    // The transmitter is set to begin at 90 °C, and the job does not know; its signal ends where the job's range does.
    const log = await conduct(transmitterJob(40), {
      prepare: (bench) => {
        const read = bench.read.bind(bench);
        bench.read = async (channels) => {
          const answers = await read(channels.filter((channel) => channel !== "item-1"));
          return [
            ...answers,
            {
              channel: "item-1",
              time: bench.clock.now(),
              outcome: { ok: true as const, value: { value: 3.801, wire: "3.801" } },
            },
          ];
        };
      },
    });
    const fault = log.find((event) => event.kind === "fault-seen");
    expect(fault).toMatchObject({ code: "signal.out-of-range", item: "item-a" });
    expect(fault!.message).toMatch(
      /^TT-101 stays at 3\.80 mA, the end of its signal \(NAMUR NE 43\), although the source rests at \d+\.\d °C\. Check that the range set in it/,
    );
  });
});

describe("a wait that is too long", () => {
  it("says what is in the way and what to check, not only that it was long [E15]", async () => {
    const job = inventedJob({
      procedure: { points: [{ temperature: 60 }], settling: { target: { kelvin: 0.01 }, longestWait: 1500 } },
    });
    const log = await conduct(job, {
      troubles: { item: (temperature, time) => temperature + ((((time / 2) * 7919) % 97) - 48) / 60 },
    });
    const fault = log.find((event) => event.kind === "fault-seen");
    expect(fault).toMatchObject({ code: "settling.too-slow" });
    expect(fault!.message).toContain("60 °C has not settled within 25 minutes. The readings of TT-101 scatter");
    expect(fault!.message).toContain("look for an earth loop");
  });
});

describe("a slow tail", () => {
  it("is said on the screen and noted in the log with the point [E16]", async () => {
    const sentences = new Set<string>();
    const log = await conduct(
      inventedJob({ procedure: { points: [{ temperature: 90 }], settling: { target: { kelvin: 0.1 } } } }),
      {
        troubles: { item: (temperature, time) => temperature - 3.4 * Math.exp(-time / 600) },
        look: (view) => sentences.add(view.sentence.now),
      },
    );
    const settled = log.findIndex((event) => event.kind === "point-settled");
    expect(log[settled + 1]).toMatchObject({ kind: "note-added", by: "engine" });
    expect(log[settled + 1]).toHaveProperty(
      "text",
      expect.stringMatching(
        /^TT-101 still follows with a slow tail of about \d+ minutes: its fit in the well is probably loose/,
      ),
    );
    expect([...sentences].some((sentence) => sentence.includes("slow tail"))).toBe(true);
  });
});

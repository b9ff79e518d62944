import { describe, expect, it } from "vitest";
import { evaluate, type RunEvent } from "#calibration";
import { diagnoseRun, patternRemarks } from "#diagnosis";
import { drawCase, studyCases } from "../../scripts/diagnosis-study/cases.ts";
import { judgeCase } from "../../scripts/diagnosis-study/judge-case.ts";
import { studyJob } from "../../scripts/diagnosis-study/study-job.ts";
import { studyRun } from "../../scripts/diagnosis-study/study-run.ts";

const answersOf = (name: string, seeds: number) => {
  const each = studyCases.find((candidate) => candidate.name === name)!;
  return Array.from({ length: seeds }, (_, seed) => judgeCase(each, drawCase(each, seed + 1), seed + 1));
};

const faulty = studyCases.filter(({ truth }) => truth !== "healthy").map(({ name }) => name);
const sound = studyCases.filter(({ truth }) => truth === "healthy").map(({ name }) => name);

describe("on the simulated bench, its own physics, seeds 1 and on", () => {
  it.each(faulty)("%s is named, alone or among what cannot be told apart [D17]", (name) => {
    const seeds = 3;
    const answers = answersOf(name, seeds);
    // The two faults of insulation and noise are seen less surely; the table in the documents says how often.
    expect(answers.filter(({ among }) => among).length).toBeGreaterThanOrEqual(/shunt|noise/.test(name) ? 1 : 3);
    expect(answers.every(({ named }) => named !== "healthy")).toBe(true);
  });

  it.each(sound)("%s within its tolerance is not accused [D2]", (name) => {
    expect(answersOf(name, 12).filter(({ verdict }) => verdict === "suspected")).toEqual([]);
  });
});

describe("from a log", () => {
  const each = studyCases.find(({ name }) => name === "platinum: wrong-alpha")!;
  const { job, simulation } = drawCase(each, 3);
  const log = studyRun(job, simulation, 3);

  it("covariances come from the budgets, and every point of the pass is weighed [D5]", () => {
    const [diagnosis] = diagnoseRun(log, evaluate(log));
    expect(diagnosis!.points).toEqual([0, 1, 2, 3, 4]);
    expect(diagnosis!.suspicions[0]!.errors).toHaveLength(5);
    expect(diagnoseRun(log)).toEqual(diagnoseRun(log, evaluate(log)));
  });

  it("points that give no temperature are weighed by their signals [D14]", () => {
    const reversed = studyCases.find(({ name }) => name === "thermocouple: reversed")!;
    const drawn = drawCase(reversed, 2);
    const events = studyRun(drawn.job, drawn.simulation, 2);
    const statuses = evaluate(events).items[0]!.passes[0]!.points.map(({ status }) => status);
    expect(statuses).toContain("flagged");
    expect(diagnoseRun(events)[0]!.points).toEqual([0, 1, 2, 3, 4]);
  });

  it("readings of a point under way count once the source is nearly at rest, and not before [D14]", () => {
    const second = log.findIndex((event) => event.kind === "point-measured");
    const measured = log.findIndex((event, index) => event.kind === "point-measured" && index > second);
    const underWay = log.slice(0, measured);
    expect(diagnoseRun(underWay)[0]!.points).toEqual([0, 1]);
    const moving = underWay.map((event): RunEvent =>
      event.kind === "readings-taken" && event.channel === "reference" && event.at > log[second]!.at
        ? { ...event, values: event.values.map((value, index) => value + 0.05 * index) }
        : event,
    );
    expect(diagnoseRun(moving)[0]!.points).toEqual([0]);
  });

  it("what is sure is a fault, what is less sure is advice, and nothing is said twice [D18]", () => {
    const [remark] = patternRemarks(log.slice(0, -1));
    expect(remark).toMatchObject({ item: "item-1", sure: true });
    const said: RunEvent = {
      kind: "fault-seen",
      n: log.length - 1,
      at: log.at(-1)!.at,
      code: "pattern.suspected",
      message: remark!.message,
      item: "item-1",
    };
    expect(patternRemarks([...log.slice(0, -1), said])).toEqual([]);
    const wild = studyJob({ kinds: ["platinum"] });
    const drifting = studyRun(wild, { items: { "item-1": { deviation: { kelvin: [9, -0.36, 0.0021] } } } }, 4);
    expect(patternRemarks(drifting).every(({ sure }) => !sure)).toBe(true);
  });

  it("takes nothing away from the result: a suspected pattern flags no point [D19]", () => {
    const before = evaluate(log);
    const fault: RunEvent = {
      kind: "fault-seen",
      n: log.length - 1,
      at: log.at(-1)!.at,
      code: "pattern.suspected",
      message: "anything",
      item: "item-1",
    };
    const after = evaluate([...log.slice(0, -1), fault, { ...log.at(-1)!, n: log.length } as RunEvent]);
    expect(after.items).toEqual(before.items);
  });

  it("an overload before the first point is an open circuit, or a Pt1000 beyond the readout's range [D20]", () => {
    const small = {
      ...job,
      kit: {
        ...job.kit,
        readout: {
          ...job.kit.readout,
          accuracy: job.kit.readout.accuracy.map((row) => (row.unit === "Ω" ? { ...row, upTo: 400 } : row)),
        },
      },
    };
    const opened = { ...log[0]!, job: small } as RunEvent;
    const overload = (events: readonly RunEvent[]): RunEvent[] => [
      ...events,
      {
        kind: "fault-seen",
        n: events.length,
        at: events.at(-1)!.at,
        code: "signal.open-circuit",
        message: "overload",
        item: "item-1",
        channel: "item-1",
      },
    ];
    const [atOnce] = diagnoseRun(overload([opened, log[1]!, log[2]!]));
    expect(atOnce!.suspicions.map(({ fault }) => fault)).toEqual(["open-circuit", "wrong-nominal"]);
    // What was measured before had the right resistance.
    const [later] = diagnoseRun(overload([opened, ...log.slice(1, -1)]));
    expect(later!.suspicions.map(({ fault }) => fault)).toEqual(["open-circuit"]);
  });
});

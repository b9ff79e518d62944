import { describe, expect, it } from "vitest";
import { calendarDay, type Reference, type RunEvent, type RunOpened } from "#calibration";
import { faultValue } from "#fault";
import { visit, type VisitPlan } from "./invented-visit.test-support.ts";
import { reassess } from "./reassess.ts";
import { suspicionSchema, type Suspicion } from "./suspicion.ts";
import { traceBack, type Reassessed, type TracePorts, type TraceProgress } from "./trace-back.ts";

const suspicion: Suspicion = suspicionSchema.parse({
  kit: { kind: "reference", serial: "demo-ref" },
  good: "2025-01-01",
  bad: "2026-01-01",
  correction: { kind: "differences", table: [{ at: 0, add: 0.12 }] },
  course: { kind: "step" },
  reason: "found out at its recalibration",
});

const openedOf = (log: readonly RunEvent[]): RunOpened => log[0] as RunOpened;

/** Records of a few runs in memory; certificates are named after their run. */
const records = (logs: readonly (readonly RunEvent[])[], references: readonly Reference[] = []): TracePorts => {
  const logOf = (run: string): readonly RunEvent[] => logs.find((log) => openedOf(log).run === run)!;
  return {
    runsWith: async ({ kit, good }) =>
      logs
        .map(openedOf)
        .filter(({ job, opened }) => job.kit[kit.kind].serial === kit.serial && calendarDay(opened) > calendarDay(good))
        .map(({ run }) => run),
    reassess: async (runs, suspect, done) =>
      runs.map((run): Reassessed => {
        done();
        try {
          return { run, moved: reassess(logOf(run), suspect) };
        } catch (thrown) {
          return { run, fault: faultValue(thrown) };
        }
      }),
    certificatesOf: async (run) => [`C-${run}`],
    references: async () => references,
  };
};

const log = (run: string, plan: Partial<VisitPlan>): RunEvent[] =>
  visit({ run, opened: "2025-07-01T08:00:00Z", errors: [0, 0], ...plan });

/** A working standard that run `by` calibrated: entry, serial and certificate tie it to that run. */
const workingStandard = (id: string, by: string): Partial<VisitPlan> => ({
  reference: {
    id,
    serial: `serial-${id}`,
    calibration: {
      certificate: `C-${by}`,
      laboratory: "Calder Vale Calibration (demo)",
      date: "2025-07-01",
      due: "2026-07-01",
      uncertainty: 0.1,
    },
  },
});

const referenceOf = (events: readonly RunEvent[]): Reference => openedOf(events).job.kit.reference;

describe("following a suspect", () => {
  it("[T9] lists what moves, the urgent first, and who must be told", async () => {
    const ports = records([
      log("stands", { errors: [0, 0], customer: "Marrow & Finch (demo)" }),
      log("flips", { errors: [-0.3, 0], customer: "Other works (demo)" }),
      log("before", { opened: "2024-12-01T08:00:00Z" }),
      log("other-probe", { reference: { serial: "another" } }),
    ]);
    const seen: TraceProgress[] = [];
    const trace = await traceBack(suspicion, ports, (state) => seen.push(state));
    expect(trace.runs.map(({ run }) => run)).toEqual(["flips", "stands"]);
    expect(trace.count).toEqual({ runs: 2, results: 4, act: 4, stands: 3, changes: 1, cannotTell: 0 });
    expect(trace.toTell).toEqual([
      {
        customer: "Other works (demo)",
        contact: "demo contact",
        runs: ["flips"],
        certificates: ["C-flips"],
        changes: 1,
      },
      {
        customer: "Marrow & Finch (demo)",
        contact: "demo contact",
        runs: ["stands"],
        certificates: ["C-stands"],
        changes: 0,
      },
    ]);
    expect(seen.at(-1)).toEqual({ generation: 0, done: 2, of: 2 });
  });

  it("[T8] goes on through a reference that was calibrated with it, with what moved there", async () => {
    const calibration = log("calibrates", { errors: [0, 0], item: { serial: "serial-ws-1" } });
    const used = log("uses", {
      opened: "2025-09-01T08:00:00Z",
      errors: [0, 0],
      ...workingStandard("ws-1", "calibrates"),
    });
    const trace = await traceBack(suspicion, records([calibration, used], [referenceOf(used)]));
    expect(trace.descendants).toMatchObject([{ entry: "ws-1", run: "calibrates", certificate: "C-calibrates" }]);
    // The working standard was said to be right while the suspect read 0.12 K too low: it reads 0.12 K too low itself.
    const [add] =
      trace.descendants[0]!.suspicion.correction.kind === "differences"
        ? trace.descendants[0]!.suspicion.correction.table
        : [];
    expect(add!.add).toBeCloseTo(0.12, 6);
    const through = trace.runs.find(({ run }) => run === "uses")!;
    expect(through).toMatchObject({ through: "serial-ws-1", generation: 1, applied: 1 });
    for (const { moved } of through.results) expect(moved).toBeCloseTo(-0.12, 6);
  });

  it("[T8] does not follow a reference with another certificate or serial", async () => {
    const calibration = log("calibrates", { item: { serial: "serial-ws-1" } });
    const others = [workingStandard("ws-1", "elsewhere"), workingStandard("ws-2", "calibrates")].map((plan, index) =>
      log(`uses-${index}`, { opened: "2025-09-01T08:00:00Z", ...plan }),
    );
    const trace = await traceBack(suspicion, records([calibration, ...others], others.map(referenceOf)));
    expect(trace.descendants).toEqual([]);
    expect(trace.runs.map(({ run }) => run)).toEqual(["calibrates"]);
  });

  it("[T8] ends in a ring", async () => {
    const first = log("a", { item: { serial: "serial-ws-1" } });
    const second = log("b", {
      opened: "2025-08-01T08:00:00Z",
      item: { serial: "demo-ref" },
      ...workingStandard("ws-1", "a"),
    });
    const back: Reference = {
      ...referenceOf(first),
      calibration: { ...referenceOf(first).calibration, certificate: "C-b" },
    };
    const trace = await traceBack(suspicion, records([first, second], [referenceOf(second), back]));
    expect(trace.descendants.map(({ entry }) => entry)).toEqual(["ws-1", "ref-7"]);
  });

  it("[T9] names a run that cannot be read and goes on with the others", async () => {
    const torn = log("torn", {}).filter(({ n }) => n !== 3);
    const trace = await traceBack(suspicion, records([torn, log("whole", {})]));
    expect(trace.unreadable).toMatchObject([{ run: "torn", fault: { code: "log.invalid" } }]);
    expect(trace.runs.map(({ run }) => run)).toEqual(["whole"]);
  });

  it("[T9] says that nothing is concerned where nothing is", async () => {
    const trace = await traceBack(suspicion, records([log("other", { reference: { serial: "another" } })]));
    expect(trace).toMatchObject({ runs: [], toTell: [], count: { runs: 0, results: 0, act: 0 } });
  });
});

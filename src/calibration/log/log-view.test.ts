import { describe, expect, it } from "vitest";
import { InventedRun, inventedJob, inventedKit } from "../evaluate/invented-run.test-support.ts";
import { referenceSchema } from "../job/kit.ts";
import { kitInUse } from "./job-after.ts";
import { logView } from "./log-view.ts";

const evidence = {
  from: 0,
  to: 60,
  estimate: 0,
  remainder: 0.01,
  standardUncertainty: 0.002,
  slope: 0,
  slopeStandardError: 1e-5,
  autocorrelation: 0.1,
  target: 0.05,
};

describe("what a log says of a run", () => {
  it("has the points that were added for a pass in that pass alone, after the planned ones", () => {
    const run = new InventedRun(inventedJob()).begin();
    const by = "demo technician";
    const added = { kind: "point-added", before: null, reason: "between", by } as const;
    run.add({ ...added, pass: "as-found", point: 2, temperature: 40 });
    run.add({ ...added, pass: "as-left", point: 2, temperature: 60 });
    run.add({ ...added, pass: "as-found", point: 3, temperature: 80 });
    const view = logView(run.events);
    expect(view.points("as-found").map(({ temperature }) => temperature)).toEqual([0, 100, 40, 80]);
    expect(view.points("as-left").map(({ temperature }) => temperature)).toEqual([0, 100, 60]);
  });

  it("gives a closing check the evidence that stood last before it, and none that came after", () => {
    const run = new InventedRun(inventedJob()).begin();
    const measured = () => run.add({ kind: "check-measured", from: 0, to: 60, by: "demo technician" });
    const settled = (estimate: number) => run.add({ kind: "check-settled", evidence: { ...evidence, estimate } });
    measured();
    settled(0.1);
    settled(0.2);
    measured();
    settled(0.3);
    expect(logView(run.events).checks.map((check) => check.settled?.evidence.estimate)).toEqual([undefined, 0.2]);
  });

  it("knows the kit that is in use at its end, and the one that was in use at each event", () => {
    const run = new InventedRun(inventedJob()).begin();
    const before = run.add({ kind: "set-point-commanded", pass: "as-found", point: 0, temperature: 0 });
    const reference = referenceSchema.parse({ ...inventedKit.reference, id: "ref-8", serial: "demo-ref-8" });
    const after = run.add({
      kind: "kit-replaced",
      reference,
      earlier: "keep",
      reason: "broken",
      by: "demo technician",
    });
    const kit = kitInUse(run.events);
    expect([kit.reference.id, kit.readout.id, kit.source.id]).toEqual(["ref-8", "readout-2", "block-1"]);
    const view = logView(run.events);
    expect([before, after].map((n) => view.jobAt(n).kit.reference.id)).toEqual(["ref-7", "ref-8"]);
    expect(() => kitInUse(run.events.slice(1))).toThrow(/does not begin with the opening/);
    expect(() => kitInUse([])).toThrow(/does not begin with the opening/);
  });
});

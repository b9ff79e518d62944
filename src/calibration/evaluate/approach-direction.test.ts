import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf } from "#thermometry";
import { logView } from "../log/log-view.ts";
import { approachDirection } from "./approach-direction.ts";
import { inventedJob, InventedRun } from "./invented-run.test-support.ts";

const procedure = {
  ...inventedJob().procedure,
  points: [20, 50, 80].map((temperature) => ({ temperature })),
};
const fresh = (): InventedRun => new InventedRun(inventedJob({ procedure })).begin();

const commanded = (run: InventedRun, point: number, temperature: number): number =>
  run.add({ kind: "set-point-commanded", pass: "as-found", point, temperature });
const read = (run: InventedRun, temperature: number): InventedRun => {
  run.at += 10;
  const { sensor } = run.job.kit.reference;
  run.readings("reference", "Ω", [run.at], [unwrap(signalOf(sensor, temperature)).signal], null);
  return run;
};
const direction = (run: InventedRun, point: number, n = run.events.length) =>
  approachDirection(logView(run.events), "as-found", point, n);

describe("from which side a point was reached", () => {
  it("is said by the reference's first reading after the command, more than 2 K away", () => {
    for (const [start, expected] of [
      [47.9, "rising"],
      [20, "rising"],
      [52.1, "falling"],
      [300, "falling"],
    ] as const) {
      const run = fresh();
      commanded(run, 1, 50);
      expect(direction(read(read(run, start), 50), 1)).toBe(expected);
    }
  });

  it("is said by the set point before where the reference is there already", () => {
    for (const [before, expected] of [
      [20, "rising"],
      [80, "falling"],
      [47.9, "rising"],
      [52.1, "falling"],
    ] as const) {
      const run = fresh();
      commanded(run, 0, before);
      run.at += 10;
      commanded(run, 1, 50);
      // No nearer than 2 K the reference says it itself; within, it does not.
      expect(direction(read(run, 51.9), 1)).toBe(expected);
      expect(direction(read(fresh(), 20), 1)).toBeNull();
    }
  });

  it("is the last set point that was another one", () => {
    const run = fresh();
    commanded(run, 2, 80);
    commanded(run, 0, 20);
    commanded(run, 1, 50);
    commanded(run, 1, 50);
    expect(direction(run, 1)).toBe("rising");
    const near = fresh();
    commanded(near, 2, 80);
    commanded(near, 0, 51);
    commanded(near, 1, 50);
    expect(direction(near, 1)).toBe("falling");
  });

  it("is not claimed where neither says it", () => {
    const alone = fresh();
    commanded(alone, 1, 50);
    expect(direction(alone, 1)).toBeNull();
    expect(direction(read(alone, 50.5), 1)).toBeNull();
    const near = fresh();
    commanded(near, 0, 48);
    commanded(near, 1, 50);
    expect(direction(near, 1)).toBeNull();
    // A signal that gives no temperature says nothing.
    const broken = fresh();
    commanded(broken, 1, 50);
    broken.readings("reference", "Ω", [20], [9000], null);
    expect(direction(broken, 1)).toBeNull();
  });

  it("is that of the point, of its pass, before it was measured", () => {
    const run = fresh();
    commanded(run, 1, 50);
    read(run, 20);
    const measured = run.events.length;
    run.at += 10;
    commanded(run, 1, 50);
    read(run, 80);
    run.at += 10;
    run.add({ kind: "set-point-commanded", pass: "as-left", point: 1, temperature: 50 });
    expect(direction(run, 1, measured)).toBe("rising");
    expect(direction(run, 1)).toBe("falling");
    expect(direction(run, 2)).toBeNull();
    expect(approachDirection(logView(run.events), "as-left", 1, run.events.length)).toBeNull();
    // The command itself does not come before itself.
    expect(direction(run, 1, 2)).toBeNull();
  });
});

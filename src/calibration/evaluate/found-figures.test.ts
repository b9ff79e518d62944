import { describe, expect, it } from "vitest";
import type { JobInput } from "../job/job.ts";
import type { MeasuredPoint } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { InventedRun, inventedJob, inventedKit, resistor } from "./invented-run.test-support.ts";

const measured = (kit: JobInput["kit"]): MeasuredPoint => {
  const { events } = new InventedRun(inventedJob({ items: [resistor], kit }))
    .begin()
    .measure({ point: 1, noise: 0.003 });
  const found = evaluate(events).items[0]!.passes[0]!.points[1]!;
  if (found.status !== "measured") throw new Error(JSON.stringify(found));
  return found;
};
const line = (point: MeasuredPoint, id: string) => point.budget.lines.find((each) => each.id === id);

describe("figures that a test of the kit found", () => {
  const found = measured({
    ...inventedKit,
    source: {
      ...inventedKit.source,
      characterised: "2026-05-01",
      evidence: { axial: "characterisation of 2026-06-01, limit |d| + U, finding 4" },
    },
    reference: {
      ...inventedKit.reference,
      conduction: [
        { temperature: 0, value: 0 },
        { temperature: 200, value: 0.04 },
      ],
      evidence: { selfHeating: "two-current test of 2026-06-02", conduction: "pull test of 2026-06-03" },
    },
  });

  it("[C72] the line says by which test, in place of the day of characterisation", () => {
    expect(line(found, "source.axial")!.source).toContain("characterisation of 2026-06-01, limit |d| + U, finding 4");
    expect(line(found, "source.radial")!.source).toContain("characterised 2026-05-01");
    expect(line(found, "reference.self-heating")!.source).toContain("two-current test of 2026-06-02");
  });

  it("[C72] conduction along the reference's stem is a line of its own, with its limit at the temperature", () => {
    const conduction = line(found, "reference.conduction")!;
    // ±0.02 K at 100 °C, halfway between the rows.
    expect(conduction.contribution).toBeCloseTo(0.02 / Math.sqrt(3), 4);
    expect(conduction.distribution).toBe("rectangular");
    expect(conduction.source).toContain("pull test of 2026-06-03");
    expect(conduction.shared).toMatch(/^reference:.*conduction$/);
  });

  it("[C72] an entry without it has no such line, and its result is as before", () => {
    const plain = measured(inventedKit);
    expect(line(plain, "reference.conduction")).toBeUndefined();
    expect(line(plain, "reference.self-heating")!.source).toBe(`kit entry ${inventedKit.reference.id}`);
  });
});

import { describe, expect, it } from "vitest";
import { context, inventedJob } from "../invented-job.test-support.ts";
import { compareKits, withKit, type KitChoice } from "./compare-kits.ts";

const job = inventedJob({ tolerance: { kelvin: 0.1 }, points: [0, 150] });
const referenceOf = (id: string, uncertainty: number): KitChoice => ({
  name: id,
  reference: { ...job.kit.reference, id, calibration: { ...job.kit.reference.calibration, uncertainty } },
});
const own: KitChoice = { name: "own" };

describe("kits beside each other [P13]", () => {
  it("each with its U, ratio, risks and what limits it; the ones that are good enough are named", () => {
    const { kits, best, words } = compareKits(
      job,
      [own, referenceOf("coarse", 0.08), referenceOf("poor", 0.3)],
      context,
    );
    expect(kits.map(({ name, goodEnough }) => [name, goodEnough])).toEqual([
      ["own", true],
      ["coarse", false],
      ["poor", false],
    ]);
    expect(kits.map(({ worst }) => Number(worst!.ratio.toFixed(1)))).toEqual([5, 1.2, 0.3]);
    expect(kits.every(({ worst }) => worst!.limiting!.entry === "reference")).toBe(true);
    expect(kits[1]!.words).toContain("only 1.2 times U");
    expect(kits[2]!.words).toContain("Nothing could be accepted");
    expect([best, words]).toEqual(["own", "own is good enough."]);
  });

  it("the quickest of those that are good enough", () => {
    const quick = { ...job.kit.source, id: "quick", rates: { heating: 60, cooling: 40, cooldown: 10 } };
    const compared = compareKits(job, [own, { name: "quick", source: quick }], context);
    expect(compared.best).toBe("quick");
    expect(compared.kits[1]!.seconds).toBeLessThan(compared.kits[0]!.seconds);
  });

  it("says which comes nearest where none is good enough", () => {
    const { best, words } = compareKits(job, [referenceOf("worse", 0.3), referenceOf("bad", 0.09)], context);
    expect(best).toBeNull();
    expect(words).toContain("None is good enough. bad comes nearest, limited by its reference");
  });

  it("a consumer's risk above 2 % is not good enough, however large the ratio", () => {
    const errors = Array.from({ length: 10 }, (_, index) => ({
      date: "2026-01-10",
      error: index % 2 === 0 ? 0.12 : 0.08,
      u: 0.001,
    }));
    const known = {
      ...inventedJob({ tolerance: { kelvin: 0.1 }, decision: { kind: "simple" } }),
      history: [{ item: "item-of-P-1", of: "item" as const, errors }],
    };
    const [kit] = compareKits(known, [own], context).kits;
    expect(kit!.goodEnough).toBe(false);
    expect(kit!.words).toContain("consumer's risk");
  });

  it("reads another reference on the job's own channel, and leaves the rest as it is", () => {
    const changed = withKit(job, { name: "x", reference: { ...job.kit.reference, id: "x", channel: "elsewhere" } });
    expect(changed.kit.reference).toMatchObject({ id: "x", channel: "reference" });
    expect(changed.kit.source).toBe(job.kit.source);
  });
});

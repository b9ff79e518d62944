import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { logView } from "../log/log-view.ts";
import type { SettlingEvidence } from "../log/events.ts";
import { gatherPoint } from "./gather-point.ts";
import { inventedJob, inventedKit, InventedRun } from "./invented-run.test-support.ts";
import { placeLines, settlingLine } from "./source-lines.ts";

const job = inventedJob();
const view = logView(new InventedRun(job).begin().measure({ point: 1, remainder: 0.03 }).events);
const place = { item: job.items[0]!, pass: "as-found" as const, point: 1 };
const data = unwrap(gatherPoint(view, place, view.history("as-found", 1)));
type Rule = NonNullable<SettlingEvidence["rules"]>[number];
const wordsOf = (change: Partial<SettlingEvidence>): string =>
  settlingLine({
    ...data,
    settled: { ...data.settled!, evidence: { ...data.settled!.evidence, ...change } },
  }).source;
const slope: Rule = { rule: "slope", on: "difference", window: 600, value: 0.00123456, limit: 0.002, holds: true };

describe("the line of what is left of settling [C19]", () => {
  it("has the bound as limits, and the log line that said so", () => {
    const line = settlingLine(data);
    expect(line).toMatchObject({ id: "settling.remainder", unit: "K", sensitivity: 1, distribution: "rectangular" });
    expect(line.u).toBeCloseTo(0.03 / Math.sqrt(3), 12);
    expect(line.origin).toEqual([data.settled!.n]);
    expect(line.source).toBe("log: bound of ±0.03 K, held to about 95 %, when the point was ready");
  });

  it("without evidence names the window and the readings", () => {
    const line = settlingLine({ ...data, settled: undefined });
    expect(line.origin).toEqual([data.measured.n, ...data.pairs.itemOrigin]);
    expect(line.source).toMatch(/^no evidence of settling in the log/);
  });

  it("says how the written rules stood", () => {
    expect(wordsOf({ rules: [slope] })).toMatch(
      /when the point was ready; written rules: slope of difference over 600 s: 0\.001235 K\/min, limit 0\.002 K\/min$/,
    );
    const soak: Rule = { rule: "soak", on: "reference", window: 0, value: 640, limit: 600, holds: true };
    const spread: Rule = { rule: "spread", on: "item", window: 300, value: null, limit: 0.02, holds: false };
    expect(wordsOf({ rules: [soak, spread] })).toMatch(
      /; written rules: soak: 640 s, limit 600 s; spread of item over 300 s: not known, limit 0\.02 K, not met$/,
    );
  });

  it("says where the written rules bound although our own judgement did not hold", () => {
    const own = /the written rules alone bound, our own judgement did not hold yet$/;
    expect(wordsOf({ rules: [slope], judgement: "rules", ownReady: false })).toMatch(own);
    expect(wordsOf({ rules: [slope], judgement: "rules", ownReady: true })).not.toMatch(own);
    expect(wordsOf({ rules: [slope], judgement: "both", ownReady: false })).not.toMatch(own);
    expect(wordsOf({ judgement: "rules", ownReady: false })).not.toMatch(own);
  });
});

describe("the lines of the place [C17]", () => {
  it("say when the source was characterised, where that is known", () => {
    const characterised = { ...job.kit.source, characterised: "2026-02-01" };
    const of = (source: typeof job.kit.source) =>
      placeLines({ job: { ...job, kit: { ...job.kit, source } }, reference: 200 });
    expect(of(characterised).map(({ source }) => source)).toEqual([
      // Halfway between 0.03 K at 0 °C and 0.15 K at 400 °C.
      "kit entry block-1, characterised 2026-02-01: ±0.09 K",
      "kit entry block-1, characterised 2026-02-01: ±0.02 K",
      "kit entry block-1, characterised 2026-02-01: ±0.01 K",
    ]);
    expect(of(job.kit.source)[0]).toMatchObject({ source: "kit entry block-1: ±0.09 K", sensitivity: -1, origin: [0] });
    expect(of(job.kit.source).map(({ u }) => u * Math.sqrt(3))).toEqual([
      expect.closeTo(0.09, 12),
      expect.closeTo(0.02, 12),
      expect.closeTo(inventedKit.source.loading as number, 12),
    ]);
  });
});

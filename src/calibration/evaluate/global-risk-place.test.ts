import { describe, expect, it } from "vitest";
import type { History } from "../job/history.ts";
import type { MeasuredPoint } from "../result/result.ts";
import { calendarDay } from "./calendar-day.ts";
import { evaluate } from "./evaluate.ts";
import { globalRiskAt } from "./global-risk-at.ts";
import { inventedJob, InventedRun } from "./invented-run.test-support.ts";

const { conformity, budget } = evaluate(new InventedRun(inventedJob()).begin().measure({ point: 1 }).events).items[0]!
  .passes[0]!.points[1] as MeasuredPoint;
const place = { item: "item-pt", nominal: 100, day: calendarDay("2026-07-12"), adjusted: false };

/** Invented errors, each with what is changed of it. */
const history = (of: History["of"], change: (index: number) => Partial<History["errors"][number]>): History => ({
  item: "item-pt",
  of,
  errors: [0.05, -0.12, 0.18, 0.02, 0.11].map((error, index) => ({
    date: `202${5 - index}-05-04`,
    error,
    u: 0.02,
    ...change(index),
  })),
});
const riskOf = (...histories: readonly History[]) => globalRiskAt(histories, place, conformity, budget);

describe("which earlier errors count at a point [C41]", () => {
  it("those within 1 K of its temperature, either way, and those of none", () => {
    for (const temperature of [99, 101, 100]) {
      expect(riskOf(history("item", () => ({ temperature })))).toMatchObject({
        status: "stated",
        prior: { observations: 5 },
      });
    }
    for (const temperature of [98.99, 101.01])
      expect(riskOf(history("item", (index) => (index === 2 ? { temperature } : {})))).toMatchObject({
        status: "stated",
        prior: { observations: 4 },
      });
  });

  it("those found before the day of the measurement, not on it", () => {
    const dated = (date: string) => riskOf(history("item", (index) => (index === 0 ? { date } : {})));
    expect(dated("2026-07-11")).toMatchObject({ prior: { observations: 5, to: "2026-07-11" } });
    expect(dated("2026-07-12")).toMatchObject({ prior: { observations: 4, to: "2024-05-04" } });
  });

  it("with the first and the last date, in whatever order they are written", () => {
    expect(riskOf(history("item", () => ({})))).toMatchObject({ prior: { from: "2021-05-04", to: "2025-05-04" } });
    const reversed = { ...history("item", () => ({})), errors: history("item", () => ({})).errors.toReversed() };
    expect(riskOf(reversed)).toMatchObject({ prior: { from: "2021-05-04", to: "2025-05-04" } });
  });

  it("of the item before those of its class, and only of this item", () => {
    const [own, ofClass] = [history("item", () => ({})), history("class", () => ({}))];
    expect(riskOf(ofClass, own)).toMatchObject({ prior: { of: "item" } });
    expect(riskOf(ofClass)).toMatchObject({ prior: { of: "class" } });
    expect(riskOf({ ...own, item: "other" })).toBeUndefined();
    expect(globalRiskAt(undefined, place, conformity, budget)).toBeUndefined();
    // Two histories of the same kind are one.
    expect(riskOf(own, own)).toMatchObject({ prior: { observations: 10 } });
  });

  it("says for each history why it does not tell", () => {
    const far = (of: History["of"]) => history(of, () => ({ temperature: 20 }));
    const none = riskOf(far("item"), far("class"));
    expect(none).toMatchObject({
      status: "not-stated",
      reason: expect.stringMatching(
        /^At 100 °C, from the history of the item itself: .*At 100 °C, from the history of its class: /,
      ),
    });
    expect(riskOf(far("item"))).toMatchObject({ reason: expect.not.stringMatching(/its class/) });
    expect(riskOf(far("class"))).toMatchObject({ reason: expect.not.stringMatching(/item itself/) });
  });

  it("states none after an adjustment, nor where there is no statement of conformity", () => {
    const own = [history("item", () => ({}))];
    expect(globalRiskAt(own, { ...place, adjusted: true }, conformity, budget)).toMatchObject({
      status: "not-stated",
      reason: expect.stringMatching(/was adjusted/),
    });
    for (const without of [null, { ...conformity!, acceptance: null }])
      expect(globalRiskAt(own, place, without, budget)).toMatchObject({
        status: "not-stated",
        reason: expect.stringMatching(/accepts nothing/),
      });
  });
});

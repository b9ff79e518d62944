import type { PointOutcome } from "./outcome.ts";

/** A point that went well, with round figures; a test says what is different. */
export const pointOutcome = (change: Partial<PointOutcome> = {}): PointOutcome => ({
  seed: 1,
  item: "item",
  pass: "as-found",
  point: 0,
  setPoint: 100,
  commanded: 1000,
  wait: 600,
  whole: 660,
  oracle: 400,
  foresight: 300,
  soaks: { 10: { wait: 900, missing: 0.2 }, 20: { wait: 1500, missing: 0.02 }, 30: { wait: 2100, missing: 0 } },
  target: 0.1,
  error: 0.25,
  U: 0.1,
  truth: 0.2,
  steady: 0.22,
  missing: 0.01,
  estimate: 0.23,
  bound: 0.05,
  tailSuspected: false,
  tolerance: { lower: -0.5, upper: 0.5 },
  decision: "pass",
  forecasts: {
    wait30: { made: 1180, at: 1660, from: 1500, to: 1700 },
    wait70: { made: 1420, at: 1600, from: 1590, to: 1610 },
    ramp30: null,
  },
  ...change,
});

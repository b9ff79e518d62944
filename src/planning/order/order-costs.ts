import { plannedPoints } from "#calibration";
import { leavingTime } from "../pace/cooling.ts";
import type { TimeModel } from "../pace/point-time.ts";
import { sweepTime } from "../pace/sweep-time.ts";
import type { OrderCosts } from "./least-time.ts";

/** What the orders of a job's points cost, from the surroundings until the source may be carried away. */
export const orderCosts = (model: TimeModel): OrderCosts => {
  const { procedure, conditions } = model.job;
  const temperatures = procedure.points.map(({ temperature }) => temperature);
  const ambient = conditions.ambientTemperature.value;
  // A first point that is measured once more at the end is one more way, and the source is left there.
  const again = plannedPoints(procedure)[temperatures.length];
  return {
    temperatures,
    between: (from, to) => sweepTime(model, from === null ? ambient : temperatures[from]!, procedure.points[to]!).total,
    leaving: (last) =>
      again === undefined
        ? leavingTime(model.pace, temperatures[last]!, ambient).transport
        : sweepTime(model, temperatures[last]!, again).total +
          leavingTime(model.pace, again.temperature, ambient).transport,
  };
};

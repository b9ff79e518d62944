import { temperatureOf } from "#thermometry";
import type { Direction, Pass } from "../job/procedure.ts";
import type { LogView } from "../log/log-view.ts";

/** Nearer than this to the set point the reference does not say from where it came, K (*ours*). */
const tooNear = 2;

/**
 * From which side the point was reached that was measured at line `n`: by the reference's own first reading after the set
 * point was commanded, and where that is there already, by the last other set point. Null where neither says it.
 */
export const approachDirection = (view: LogView, pass: Pass, point: number, n: number): Direction | null => {
  const until = view.setPoints.findLastIndex((event) => event.n < n && event.pass === pass && event.point === point);
  const commanded = view.setPoints[until];
  if (commanded === undefined) return null;
  const { reference } = view.jobAt(commanded.n).kit;
  const readings = view.channels.get(reference.channel);
  const first = readings?.firstFrom(commanded.at) ?? 0;
  if (readings !== undefined && first < readings.length) {
    const converted = temperatureOf(reference.sensor, readings.values[first]!);
    const away = converted.ok ? converted.value.temperature - commanded.temperature : 0;
    if (Math.abs(away) > tooNear) return away < 0 ? "rising" : "falling";
  }
  const before = view.setPoints
    .slice(0, until)
    .findLast(({ temperature }) => Math.abs(temperature - commanded.temperature) > tooNear);
  if (before === undefined) return null;
  return before.temperature < commanded.temperature ? "rising" : "falling";
};

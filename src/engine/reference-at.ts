import type { ReferenceStretch } from "./state.ts";

/** Reference temperature at a moment: linear between readings, the nearest one at the ends; null where there is none. */
export const referenceAt = ({ times, temperatures }: ReferenceStretch, time: number): number | null => {
  const after = times.findIndex((candidate) => candidate >= time);
  if (times.length === 0) return null;
  if (after === -1) return temperatures[times.length - 1]!;
  if (after === 0) return temperatures[0]!;
  const share = (time - times[after - 1]!) / (times[after]! - times[after - 1]!);
  return temperatures[after - 1]! + share * (temperatures[after]! - temperatures[after - 1]!);
};

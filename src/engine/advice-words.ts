import type { Advice } from "./advice.ts";

const signed = (value: number): string => `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(3)}`;

/** Why an adjustment is advised, and what it is forecast to do at every point, in a sentence for log and screen. */
export const adviceWords = ({ reason, adjust, forecast }: Advice): string => {
  if (!adjust || forecast.length === 0) return reason;
  const points = forecast.map(
    ({ nominal, asFound, asLeft, U }) => `${nominal} °C ${signed(asFound)} → ${signed(asLeft)} ± ${U.toFixed(3)} K`,
  );
  return `${reason} Forecast: ${points.join("; ")}.`;
};

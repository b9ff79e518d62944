import { outside } from "./conversion.ts";
import type { Relation } from "./relation.ts";

/** A display that shows °C itself. Nothing is colder than absolute zero, and no thermometer shows a million degrees. */
const bounds = { lower: -273.15, upper: 1e6 };

export const indication: Relation = {
  name: "an indication",
  unit: "°C",
  temperatures: bounds,
  signals: bounds,
  signalAt: (temperature) => temperature,
  slopeAt: () => 1,
  temperatureAt: (signal) => (signal >= bounds.lower && signal <= bounds.upper ? signal : outside),
};

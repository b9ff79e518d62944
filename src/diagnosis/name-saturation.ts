import type { Finding } from "./watch-approach.ts";

/** A transmitter that stays at the end of what it can show although the source has come to rest: no error can be read from it. */
export const nameSaturation = (tag: string, current: number, temperature: number): Finding => ({
  code: "signal.out-of-range",
  confidence: 0.9,
  message:
    `${tag} stays at ${current.toFixed(2)} mA, the end of its signal (NAMUR NE 43), although the source rests at ${temperature.toFixed(1)} °C. ` +
    "Check that the range set in it is the one in the job, that the point lies inside it, and that the probe is in the source.",
});

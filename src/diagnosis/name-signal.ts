import type { FaultValue } from "#fault";
import type { Finding } from "./watch-approach.ts";

/**
 * What a signal that gives no temperature means for the person at the bench. The thermometry's own words say what is out of
 * range; these say which wire to look at.
 */
export const nameSignal = (tag: string, fault: FaultValue): Finding => {
  switch (fault.code) {
    case "signal.open-circuit":
      return {
        code: "signal.open-circuit",
        confidence: 0.95,
        message: `The circuit of ${tag} is open: the readout shows overload. Check the plug and the terminals, then the element's own resistance.`,
      };
    case "loop.failure-signal":
      return {
        code: "loop.failure-signal",
        confidence: 0.9,
        message: `${tag} signals a failure on its loop (NAMUR NE 43): ${fault.message} Check its sensor, its supply and its burn-out setting.`,
      };
    default:
      return {
        code: "signal.out-of-range",
        confidence: 0.8,
        message: `The signal of ${tag} is outside what its sensor can give: ${fault.message} Check that the sensor type in the job is the one in the source, and that its wires are not exchanged.`,
      };
  }
};

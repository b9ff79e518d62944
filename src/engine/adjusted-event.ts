import type { EventDraft } from "#calibration";
import type { Advice } from "./advice.ts";

/** What the log says of an adjustment that was made: zero and span, or the coefficients that hold from here on. */
export const adjustedEvent = (advice: Advice, at: number, by: string): EventDraft =>
  advice.coefficients === undefined
    ? { kind: "item-adjusted", at, item: advice.item, zero: advice.zero, span: advice.span, by }
    : {
        kind: "coefficients-loaded",
        at,
        item: advice.item,
        sensor: advice.coefficients.sensor,
        reason: advice.reason,
        by,
      };

import type { Characteristic } from "./characteristic.ts";
import { logNormal, normal, type SignalModel } from "./signal-model.ts";

/** Signals that a channel can show, in the item's unit: where a value that stands still may stand. */
export interface SignalSpan {
  readonly middle: number;
  readonly half: number;
}

/** Ways of erring that every kind of item has. */
export const commonModels = (own: Characteristic, span: SignalSpan): SignalModel[] => {
  const healthy: SignalModel["predict"] = ({ reference, offset, junction }) => own.signal(reference + offset, junction);
  return [
    { fault: "healthy", variant: "", weight: 0.95, parameters: [], predict: healthy },
    { fault: "noise", variant: "", weight: 0.003, parameters: [], predict: healthy, noisy: true },
    {
      fault: "immersion",
      variant: "",
      weight: 0.005,
      parameters: [logNormal("share of the difference to ambient that is lost along the stem", "%", 2, 2.5)],
      predict: ({ reference, offset, junction, ambient }, [share]) => {
        const element = reference + offset;
        return own.signal(element - Math.min(0.9, share! / 100) * (element - ambient), junction);
      },
    },
    {
      fault: "stuck",
      variant: "",
      weight: 0.003,
      parameters: [normal("value that stands", "", span.middle, span.half)],
      predict: (_, [value]) => value!,
    },
    ...[3, 10, 40].map((scale): SignalModel => ({
      fault: "none-of-these",
      variant: "",
      weight: 0.001,
      parameters: [],
      predict: healthy,
      spread: { scale, wild: true },
    })),
    // Any signal at all, whether or not it is one of this sensor.
    {
      fault: "none-of-these",
      variant: "",
      weight: 0.001,
      parameters: [],
      predict: () => span.middle,
      slack: 4 * span.half,
    },
  ];
};

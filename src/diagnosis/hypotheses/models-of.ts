import type { AboutItem } from "./about-item.ts";
import { characteristicOf, otherTypes, typeCharacteristic, typeFrequency } from "./characteristic.ts";
import { commonModels, type SignalSpan } from "./common-models.ts";
import { loopModels, throughLoop } from "./loop-models.ts";
import { resistanceModels } from "./resistance-models.ts";
import { normal, type SignalModel } from "./signal-model.ts";
import { junctionOffset, thermocoupleModels } from "./thermocouple-models.ts";

/** Types that indicators are set to; one taken for another shows in the indication. */
const displayTypes = ["K", "J", "T", "N", "E", "R", "S"] as const;

const wrongTypeShown = (): SignalModel[] => {
  const pairs = displayTypes.flatMap((really) =>
    otherTypes(really).flatMap((set) =>
      displayTypes.filter((type) => type === set).map((type) => ({ really, set: type })),
    ),
  );
  const all = pairs.reduce((sum, { really, set }) => sum + typeFrequency[really] * typeFrequency[set], 0);
  return pairs.map(({ really, set }) => {
    const [wire, display] = [typeCharacteristic(really), typeCharacteristic(set)];
    return {
      fault: "wrong-type",
      variant: `type ${really} read as type ${set}`,
      weight: (0.005 * typeFrequency[really] * typeFrequency[set]) / all,
      parameters: [],
      predict: ({ reference, offset, ambient }) =>
        display.temperature(wire.signal(reference + offset, ambient), ambient),
    };
  });
};

const displayModels = (ordinary: number): SignalModel[] => [
  ...wrongTypeShown(),
  {
    fault: "zero-shift",
    variant: "",
    weight: 0.005,
    parameters: [normal("shift", "K", 0, Math.max(2, 4 * ordinary))],
    predict: ({ reference, offset }, [shift]) => reference + offset + shift!,
  },
  {
    fault: "span-error",
    variant: "",
    weight: 0.004,
    parameters: [normal("change of the temperature shown", "%", 0, 3)],
    predict: ({ reference, offset }, [change]) => (reference + offset) * (1 + change! / 100),
  },
];

/** Only what shows through a transmitter as a temperature: what its circuit does is the loop's own. */
const seenThroughLoop = new Set([
  "wrong-type",
  "wrong-alpha",
  "lead-resistance",
  "resistance-shift",
  "copper-in-circuit",
]);

const ofKind = (about: AboutItem): SignalModel[] => {
  const { sensor, ordinary } = about;
  switch (sensor.kind) {
    case "thermocouple":
      return thermocoupleModels(sensor, about);
    case "platinum":
    case "thermistor":
      return resistanceModels(sensor, ordinary);
    case "loop": {
      const { inner } = sensor;
      const models = loopModels(sensor, ordinary);
      if (inner === undefined || inner.kind === "loop" || inner.kind === "indication") return models;
      const behind = ofKind({ ...about, sensor: inner, junction: null }).filter(({ fault }) =>
        seenThroughLoop.has(fault),
      );
      return [...models, ...throughLoop(sensor, characteristicOf(inner), behind)];
    }
    default:
      return displayModels(ordinary);
  }
};

/** Every hypothesis that concerns one item alone. */
export const itemModels = (about: AboutItem, span: SignalSpan): SignalModel[] => [
  ...commonModels(characteristicOf(about.sensor), span),
  ...ofKind(about),
];

/** The junction of an item on its own, or of all that share one. */
export const junctionModel = (sensors: readonly AboutItem["sensor"][]): SignalModel | null => {
  const parts = sensors.map((sensor) => (sensor.kind === "thermocouple" ? junctionOffset(sensor) : null));
  if (parts.some((part) => part === null)) return null;
  return {
    fault: "junction-offset",
    variant: "",
    weight: 0.003,
    parameters: parts[0]!.parameters,
    predict: (place, values) => parts[place.owner]!.predict(place, values),
  };
};

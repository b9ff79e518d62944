import type { ThermocoupleSensor } from "#thermometry";
import type { AboutItem } from "./about-item.ts";
import { characteristicOf, otherTypes, typeCharacteristic, typeFrequency } from "./characteristic.ts";
import { logNormal, normal, type Place, type SignalModel } from "./signal-model.ts";

const allTypes = Object.values(typeFrequency).reduce((sum, value) => sum + value, 0);

/** Where one pair of wires meets another: the head, warmer than the junction by itself and by what it takes of the source. */
const headParameters = [
  normal("how much warmer the head is than the reference junction", "K", 8, 10),
  logNormal("share of the source's heat that reaches the head", "", 0.02, 2),
];
const headAt = ({ junction, ambient, reference }: Place, [warmer, share]: readonly number[]): number =>
  junction + warmer! + share! * (reference - ambient);

/** By how much the temperature of a head or of a place on the cable wanders between points, K (ours). */
const unsteadyPlace = 0.5;

/** What a thermocouple's signal would be, mV, by each fault of it and its circuit. `E` is its own function. */
export const thermocoupleModels = (sensor: ThermocoupleSensor, about: AboutItem): SignalModel[] => {
  const own = characteristicOf(sensor);
  const sensitivity = own.signal(25, 0) - own.signal(24, 0) || 0.04;
  const models: SignalModel[] = otherTypes(sensor.type).map((type) => {
    const other = typeCharacteristic(type);
    return {
      fault: "wrong-type",
      variant: `type ${type}`,
      weight: (0.008 * typeFrequency[type]) / allTypes,
      parameters: [],
      predict: ({ reference, offset, junction }) => other.signal(reference + offset, junction),
    };
  });
  models.push(
    {
      fault: "reversed",
      variant: "",
      weight: 0.004,
      parameters: [],
      predict: ({ reference, offset, junction }) => -own.signal(reference + offset, junction),
    },
    {
      // Both junctions of the extension count twice: E(t) − 2·E(head) + E(junction).
      fault: "double-reversal",
      variant: "",
      weight: 0.002,
      slack: 2 * sensitivity * unsteadyPlace,
      parameters: headParameters,
      predict: (place, values) => {
        const { reference, offset, junction } = place;
        return own.signal(reference + offset, junction) - 2 * own.signal(headAt(place, values), junction);
      },
    },
    {
      fault: "copper-in-circuit",
      variant: "",
      weight: 0.003,
      slack: sensitivity * unsteadyPlace,
      parameters: headParameters,
      predict: (place, values) => {
        const { reference, offset, junction } = place;
        return own.signal(reference + offset, junction) - own.signal(headAt(place, values), junction);
      },
    },
    {
      fault: "zero-shift",
      variant: "",
      weight: 0.001,
      parameters: [normal("constant voltage added", "mV", 0, sensitivity * Math.max(3, 4 * about.ordinary))],
      predict: ({ reference, offset, junction }, [shift]) => own.signal(reference + offset, junction) + shift!,
    },
    {
      fault: "span-error",
      variant: "",
      weight: 0.003,
      parameters: [normal("change of the voltage", "%", 0, 4)],
      predict: ({ reference, offset, junction }, [change]) =>
        own.signal(reference + offset, junction) * (1 + change! / 100),
    },
    {
      // A leak along the wires takes the more the hotter the insulation: by some factor for each 100 K.
      fault: "shunt",
      variant: "",
      weight: 0.002,
      parameters: [
        logNormal("share of the voltage that leaks at ambient temperature", "%", 0.5, 4),
        logNormal("factor by which the leak grows over 100 K", "", 1.8, 1.4),
      ],
      predict: ({ reference, offset, junction, ambient }, [leak, growth]) =>
        own.signal(reference + offset, junction) /
        (1 + (leak! / 100) * growth! ** ((reference + offset - ambient) / 100)),
    },
    {
      fault: "short-circuit",
      variant: "",
      weight: 0.002,
      slack: sensitivity * unsteadyPlace,
      parameters: [normal("place of the short against the junction", "K", 2, 6)],
      predict: ({ junction }, [warmer]) => own.signal(junction + warmer!, junction),
    },
  );
  if (about.junction === "ice-point") {
    models.push({
      fault: "junction-not-compensated",
      variant: "the junction is at ambient temperature, not in ice",
      weight: 0.004,
      parameters: [normal("temperature of the junction against ambient", "K", 1, 3)],
      predict: ({ reference, offset, ambient }, [warmer]) => own.signal(reference + offset, ambient + warmer!),
    });
  } else {
    models.push({
      fault: "junction-not-compensated",
      variant: "the junction is compensated twice",
      weight: 0.003,
      parameters: [],
      predict: ({ reference, offset }) => own.signal(reference + offset, 0),
    });
  }
  return models;
};

/** The reference junction is really warmer than it is said to be. */
export const junctionOffset = (sensor: ThermocoupleSensor): Pick<SignalModel, "parameters" | "predict"> => {
  const own = characteristicOf(sensor);
  return {
    parameters: [normal("how much warmer the junction is than it is said to be", "K", 0, 5)],
    predict: ({ reference, offset, junction }, [warmer]) => own.signal(reference + offset, junction + warmer!),
  };
};

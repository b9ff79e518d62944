import type { Sensor } from "#thermometry";
import { characteristicOf, type Characteristic } from "./characteristic.ts";
import { otherCurves } from "./resistance-models.ts";
import { normal, type Place, type SignalModel } from "./signal-model.ts";

type SourceTemperature = (place: Place, values: readonly number[]) => number;

interface ReferenceFault extends Pick<SignalModel, "fault" | "variant" | "weight" | "parameters"> {
  /** What the source really has, °C, if the reference's coefficients are wrong in this way. */
  readonly really: SourceTemperature;
}

const faultsOf = (reference: Sensor): ReferenceFault[] => {
  if (reference.kind !== "platinum") return [];
  const own = characteristicOf(reference);
  const ice = own.signal(0.01, 0);
  return [
    ...otherCurves(reference).map(({ alpha, sensor }): ReferenceFault => {
      const curve = characteristicOf(sensor);
      return {
        fault: "reference-alpha",
        variant: `α = ${alpha}`,
        weight: alpha === "0.003750" ? 0.0002 : 0.001,
        parameters: [],
        really: ({ referenceSignal }) => curve.temperature(referenceSignal ?? Number.NaN, 0),
      };
    }),
    {
      fault: "reference-coefficients",
      variant: "",
      weight: 0.001,
      parameters: [
        normal("resistance of the reference at 0 °C against its coefficients", "%", 0, 0.25),
        normal("temperature coefficient of the reference against its coefficients", "%", 0, 0.25),
      ],
      really: ({ referenceSignal }, [resistance, coefficient]) => {
        const ratio = (referenceSignal ?? Number.NaN) / (ice * (1 + resistance! / 100)) - 1;
        return own.temperature(ice * (1 + ratio / (1 + coefficient! / 100)), 0);
      },
    },
  ];
};

/** Faults of the reference, seen through items that are themselves sound; one characteristic for each owner of a place. */
export const referenceModels = (reference: Sensor, owners: readonly Characteristic[]): SignalModel[] =>
  faultsOf(reference).map(({ really, ...rest }) => ({
    ...rest,
    predict: (place, values) => owners[place.owner]!.signal(really(place, values) + place.offset, place.junction),
  }));

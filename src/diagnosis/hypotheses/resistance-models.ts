import type { CallendarVanDusenSensor, Sensor, ThermistorSensor, ScalePlatinumSensor } from "#thermometry";
import { characteristicOf } from "./characteristic.ts";
import { logNormal, normal, type SignalModel } from "./signal-model.ts";

type Resistance = CallendarVanDusenSensor | ScalePlatinumSensor | ThermistorSensor;

/** Coefficients per 1 Ω at 0 °C: IEC 60751:2022, and the older curve with α = 0.003916 (both from memory). */
const curves = [
  { alpha: "0.003851", a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
  { alpha: "0.003916", a: 3.9739e-3, b: -5.87e-7, c: -4.4e-12 },
  { alpha: "0.003750", a: 3.8102e-3, b: -6.02e-7, c: -6.0e-12 },
] as const;

/** Resistances at 0 °C that industrial elements are made with, Ω. */
const nominals = [50, 100, 200, 500, 1000] as const;

export const r0Of = (sensor: Resistance): number | null =>
  sensor.kind === "thermistor" ? null : sensor.equation === "its-90" ? sensor.rtpw : sensor.r0;

export interface OtherCurve {
  readonly alpha: string;
  readonly sensor: CallendarVanDusenSensor;
}

/** Platinum of another purity than the one that the equation is for. */
export const otherCurves = (sensor: Sensor): readonly OtherCurve[] => {
  if (sensor.kind !== "platinum") return [];
  const r0 = r0Of(sensor)!;
  const own = characteristicOf(sensor);
  const ratio = own.signal(100, 0) / own.signal(0.01, 0);
  return curves
    .map(({ alpha, a, b, c }) => ({
      alpha,
      sensor: { kind: "platinum", equation: "callendar-van-dusen", r0, a, b, c } as const,
    }))
    .filter((other) => Math.abs(characteristicOf(other.sensor).signal(100, 0) / r0 - ratio) > 2e-3);
};

const platinumOnly = (sensor: Resistance): SignalModel[] => {
  const own = characteristicOf(sensor);
  const r0 = r0Of(sensor);
  if (r0 === null) return [];
  return [
    ...otherCurves(sensor).map(({ alpha, sensor: other }): SignalModel => {
      const curve = characteristicOf(other);
      return {
        fault: "wrong-alpha",
        variant: `α = ${alpha}`,
        weight: alpha === "0.003750" ? 0.0005 : 0.002,
        parameters: [],
        predict: ({ reference, offset }) => curve.signal(reference + offset, 0),
      };
    }),
    ...nominals
      .filter((nominal) => Math.abs(nominal / r0 - 1) > 0.2)
      .map((nominal): SignalModel => ({
        fault: "wrong-nominal",
        variant: `${nominal} Ω at 0 °C`,
        weight: nominal === 100 || nominal === 1000 ? 0.003 : 0.000_7,
        parameters: [],
        predict: ({ reference, offset }) => (own.signal(reference + offset, 0) * nominal) / r0,
      })),
  ];
};

/** What a resistance thermometer's signal would be, Ω, by each fault of it and its leads. */
export const resistanceModels = (sensor: Resistance, ordinary: number): SignalModel[] => {
  const own = characteristicOf(sensor);
  const at25 = own.signal(25, 0);
  const perKelvin = Math.abs(own.signal(25.5, 0) - own.signal(24.5, 0)) || 0.4;
  return [
    ...platinumOnly(sensor),
    {
      fault: "resistance-shift",
      variant: "",
      weight: 0.003,
      parameters: [normal("change of the resistance", "%", 0, (100 * 4 * ordinary * perKelvin) / at25)],
      predict: ({ reference, offset }, [change]) => own.signal(reference + offset, 0) * (1 + change! / 100),
    },
    {
      fault: "lead-resistance",
      variant: "",
      weight: 0.004,
      parameters: [logNormal("resistance of the leads", "Ω", 1.2 * (perKelvin / 0.39), 3)],
      predict: ({ reference, offset }, [ohm]) => own.signal(reference + offset, 0) + ohm!,
    },
    {
      fault: "unequal-leads",
      variant: "",
      weight: 0.002,
      parameters: [normal("difference between the leads", "Ω", 0, perKelvin / 0.39)],
      predict: ({ reference, offset }, [ohm]) => own.signal(reference + offset, 0) + ohm!,
    },
    {
      fault: "shunt",
      variant: "",
      weight: 0.003,
      parameters: [logNormal("resistance of the leak", "kΩ", at25 / 2, 4)],
      predict: ({ reference, offset }, [kiloohm]) => {
        const element = own.signal(reference + offset, 0);
        return (element * 1000 * kiloohm!) / (element + 1000 * kiloohm!);
      },
    },
    {
      fault: "span-error",
      variant: "",
      weight: 0.001,
      parameters: [normal("change of the temperature coefficient", "%", 0, 1.5)],
      predict: ({ reference, offset }, [change]) => {
        const zero = own.signal(0.01, 0);
        return zero + (own.signal(reference + offset, 0) - zero) * (1 + change! / 100);
      },
    },
    {
      fault: "short-circuit",
      variant: "",
      weight: 0.002,
      parameters: [logNormal("resistance that is left", "Ω", 0.6, 3)],
      predict: (_, [ohm]) => ohm!,
    },
  ];
};

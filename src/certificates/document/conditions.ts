import type { Job, Kit } from "#calibration";
import { factsOf } from "./facts.ts";
import type { Equipment, Fact, Influence } from "./model.ts";
import { decimal, withHalfWidth, withUnit } from "./typeset.ts";

const settlingText = ({ settling }: Job["procedure"]): string => {
  const { target } = settling;
  const limit =
    target.kelvin === undefined
      ? `${withUnit(decimal((target.fractionOfTolerance ?? 0) * 100), "%")} of the tolerance`
      : withUnit(decimal(target.kelvin), "K");
  return `Readings began when the difference between item and reference had settled: what was still missing, together with the uncertainty of that difference, had to be within ${limit}, judged over ${withUnit(decimal(settling.minimumWindow), "s")} or more. What was left of it is part of the uncertainty.`;
};

const sourceClasses = { bath: "stirred bath", "dry-block": "dry block", furnace: "furnace" } as const;

const directionText = (temperatures: readonly number[]): string => {
  const rising = temperatures.every((t, index) => index === 0 || t > temperatures[index - 1]!);
  const falling = temperatures.every((t, index) => index === 0 || t < temperatures[index - 1]!);
  if (temperatures.length === 1) return "one point";
  return rising ? "in rising order" : falling ? "in falling order" : "in the order of the table";
};

/** Method and conditions that influence the results (ISO/IEC 17025:2017, 7.8.2.1 f and 7.8.4.1 b). */
export const conditionFacts = (job: Job): readonly Fact[] => {
  const { procedure, conditions, kit } = job;
  return factsOf([
    ["Method", `${procedure.method.identifier}, revision ${procedure.method.revision}: ${procedure.method.title}`],
    [
      "Principle",
      `Comparison with a reference thermometer in a ${sourceClasses[kit.source.class]}. The error is the indication of the item minus the reference temperature, from readings of both at the same moments.`,
    ],
    ["Points", `Visited ${directionText(procedure.points.map((point) => point.temperature))}.`],
    [
      "Readings",
      `${procedure.readings.count} readings of each channel at each point, ${withUnit(decimal(procedure.readings.interval), "s")} apart.`,
    ],
    ["Settling", settlingText(procedure)],
    [
      "Ambient temperature",
      withHalfWidth(conditions.ambientTemperature.value, conditions.ambientTemperature.halfWidth, "°C"),
    ],
    [
      "Relative humidity",
      conditions.relativeHumidity === undefined
        ? null
        : withHalfWidth(conditions.relativeHumidity.value, conditions.relativeHumidity.halfWidth, "%"),
    ],
    [
      "Reference immersed",
      kit.reference.immersion === undefined ? null : withUnit(decimal(kit.reference.immersion), "mm"),
    ],
    ["Remarks", conditions.remarks],
  ]);
};

/** Influence conditions with their numbers, for the machine-readable form. */
export const influencesOf = (job: Job): readonly Influence[] => {
  const { conditions, kit, items } = job;
  const depths = items.flatMap((item) =>
    item.immersion === undefined
      ? []
      : [
          {
            id: "immersion-item" as const,
            name: `Immersion depth of ${item.tag}`,
            unit: "mm" as const,
            value: decimal(item.immersion),
            halfWidth: null,
          },
        ],
  );
  const humidity = conditions.relativeHumidity;
  return [
    {
      id: "ambient-temperature",
      name: "Ambient temperature",
      unit: "°C",
      value: decimal(conditions.ambientTemperature.value),
      halfWidth: decimal(conditions.ambientTemperature.halfWidth),
    },
    ...(humidity === undefined
      ? []
      : [
          {
            id: "relative-humidity" as const,
            name: "Relative humidity",
            unit: "%" as const,
            value: decimal(humidity.value),
            halfWidth: decimal(humidity.halfWidth),
          },
        ]),
    ...(kit.reference.immersion === undefined
      ? []
      : [
          {
            id: "immersion-reference" as const,
            name: "Immersion depth of the reference",
            unit: "mm" as const,
            value: decimal(kit.reference.immersion),
            halfWidth: null,
          },
        ]),
    ...depths,
  ];
};

/** The kit as the certificate lists it. */
export const equipmentOf = ({ reference, readout, source }: Kit): readonly Equipment[] => [
  {
    role: "reference",
    roleText: "Reference thermometer",
    id: reference.id,
    description: reference.description,
    model: reference.model ?? null,
    serial: reference.serial,
    certificate: reference.calibration.certificate,
    laboratory: reference.calibration.laboratory,
    date: reference.calibration.date,
    due: reference.calibration.due,
  },
  {
    role: "readout",
    roleText: "Readout",
    id: readout.id,
    description: readout.description,
    model: readout.model ?? null,
    serial: readout.serial,
    certificate: readout.calibration.certificate,
    laboratory: readout.calibration.laboratory,
    date: readout.calibration.date,
    due: readout.calibration.due,
  },
  {
    role: "source",
    roleText: "Heat source",
    id: source.id,
    description: source.description,
    model: source.model ?? null,
    serial: source.serial,
    certificate: null,
    laboratory: null,
    date: source.characterised ?? null,
    due: null,
  },
];

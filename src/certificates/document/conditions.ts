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

type Pairs = readonly (readonly [string, string])[];

/** How readings at rest were made. */
const restingFacts = ({ procedure, kit }: Job): Pairs => [
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
];

/** How a switch was taken past its trip. */
const rampFacts = ({ procedure, kit }: Job, ramp: NonNullable<Job["procedure"]["ramp"]>): Pairs => {
  const rates = [...new Set([ramp.rate, ramp.slowRate ?? ramp.rate])].map(decimal).join(" and ");
  const cycles = ramp.cycles === 1 ? "once" : `${ramp.cycles} times`;
  const by =
    ramp.by === "source"
      ? "by the source's own ramp"
      : `by moving the set point in steps of ${withUnit(decimal(ramp.step), "K")} or little more`;
  return [
    [
      "Principle",
      `The temperature of a ${sourceClasses[kit.source.class]} was taken slowly past the change of the contact, both ways, beside a reference thermometer. The temperature of a change is that of the reference at the moment of the change, interpolated between the readings before and after; chatter counts to the time between them.`,
    ],
    [
      "Ramps",
      `${cycles} each way, at ${withUnit(rates, "K/min")}, ${by}, after a rest of ${withUnit(decimal(ramp.soak), "s")}.`,
    ],
    [
      "Readings",
      `The contact and the reference were read every ${withUnit(decimal(procedure.readings.interval), "s")}.`,
    ],
    [
      "Change",
      `A change counts once the contact has stayed for ${withUnit(decimal(ramp.hold), "s")}; dead band is the change rising minus the change falling.`,
    ],
  ];
};

/** Method and conditions that influence the results (ISO/IEC 17025:2017, 7.8.2.1 f and 7.8.4.1 b). */
export const conditionFacts = (job: Job): readonly Fact[] => {
  const { procedure, conditions, kit } = job;
  return factsOf([
    ["Method", `${procedure.method.identifier}, revision ${procedure.method.revision}: ${procedure.method.title}`],
    ...(procedure.ramp === undefined ? restingFacts(job) : rampFacts(job, procedure.ramp)),
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

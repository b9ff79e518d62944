import { isTyped, readingsByHand, type Job, type Kit } from "#calibration";
import { factsOf } from "./facts.ts";
import type { Equipment, Fact, Influence } from "./model.ts";
import { decimal } from "./typeset.ts";
import type { Writing } from "./writing.ts";

type Pairs = readonly (readonly [string, string])[];

const settlingText = ({ settling }: Job["procedure"], { words, set }: Writing): string => {
  const { target } = settling;
  const limit =
    target.kelvin === undefined
      ? words.conditions.ofTolerance(set.unit(decimal((target.fractionOfTolerance ?? 0) * 100), "%"))
      : set.unit(decimal(target.kelvin), "K");
  return words.conditions.settlingOf(limit, set.unit(decimal(settling.minimumWindow), "s"));
};

const orderText = (temperatures: readonly number[], { words }: Writing): string => {
  const { orders } = words.conditions;
  if (temperatures.length === 1) return orders.one;
  if (temperatures.every((t, index) => index === 0 || t > temperatures[index - 1]!)) return orders.rising;
  return temperatures.every((t, index) => index === 0 || t < temperatures[index - 1]!) ? orders.falling : orders.table;
};

/** How often and by whom was read: wired channels and typed ones each have their own pace. */
const readingsText = (job: Job, { words, set }: Writing): string => {
  const { conditions: said } = words;
  const { procedure, items, bench, kit } = job;
  const wired = said.readingsOf(String(procedure.readings.count), set.unit(decimal(procedure.readings.interval), "s"));
  const tags = items.filter(({ channel }) => isTyped(bench, channel)).map(({ tag }) => tag);
  const reference = isTyped(bench, kit.reference.channel);
  if (tags.length === 0 && !reference) return wired;
  const { count, interval } = readingsByHand(job);
  const byHand = said.byHandOf(
    tags.length === 0 ? null : words.paper.and(tags),
    String(count),
    set.unit(decimal(interval), "s"),
  );
  return reference && tags.length === items.length ? byHand : `${byHand} ${said.wiredBeside}`;
};

/** How readings at rest were made. */
const restingFacts = (job: Job, writing: Writing): Pairs => {
  const { procedure, kit } = job;
  const { conditions: said } = writing.words;
  const temperatures = procedure.points.map((point) => point.temperature);
  return [
    [said.principle, said.comparison(said.sources[kit.source.class])],
    [said.points, said.visited(orderText(temperatures, writing))],
    [said.readings, readingsText(job, writing)],
    [said.settling, settlingText(procedure, writing)],
  ];
};

/** How a switch was taken past its trip. */
const rampFacts = (
  { procedure, kit }: Job,
  ramp: NonNullable<Job["procedure"]["ramp"]>,
  { words, set }: Writing,
): Pairs => {
  const { conditions: said } = words;
  const rates = words.paper.and([...new Set([ramp.rate, ramp.slowRate ?? ramp.rate])].map((rate) => set.decimal(rate)));
  const by = ramp.by === "source" ? said.byRamp : said.bySteps(set.unit(decimal(ramp.step), "K"));
  return [
    [said.principle, said.rampPrinciple(said.sources[kit.source.class])],
    [said.ramps, said.rampsOf(ramp.cycles, set.unit(rates, "K/min"), by, set.unit(decimal(ramp.soak), "s"))],
    [said.readings, said.rampReadings(set.unit(decimal(procedure.readings.interval), "s"))],
    [said.change, said.changeOf(set.unit(decimal(ramp.hold), "s"))],
  ];
};

/** Method and conditions that influence the results (ISO/IEC 17025:2017, 7.8.2.1 f and 7.8.4.1 b). */
export const conditionFacts = (job: Job, writing: Writing): readonly Fact[] => {
  const { procedure, conditions, kit } = job;
  const { words, set } = writing;
  const { conditions: said } = words;
  const { identifier, revision, title } = procedure.method;
  const humidity = conditions.relativeHumidity;
  return factsOf([
    [said.method, words.paper.facts.methodTitled(identifier, revision, title)],
    ...(procedure.ramp === undefined ? restingFacts(job, writing) : rampFacts(job, procedure.ramp, writing)),
    [said.ambient, set.halfWidth(conditions.ambientTemperature.value, conditions.ambientTemperature.halfWidth, "°C")],
    [said.humidity, humidity === undefined ? null : set.halfWidth(humidity.value, humidity.halfWidth, "%")],
    [
      said.referenceImmersed,
      kit.reference.immersion === undefined ? null : set.unit(decimal(kit.reference.immersion), "mm"),
    ],
    [said.remarks, conditions.remarks],
  ]);
};

/** Influence conditions with their numbers, for the machine-readable form. */
export const influencesOf = (job: Job, { words }: Writing): readonly Influence[] => {
  const { conditions, kit, items } = job;
  const { conditions: said } = words;
  const depth = (id: "immersion-item" | "immersion-reference", name: string, value: number | undefined): Influence[] =>
    value === undefined ? [] : [{ id, name, unit: "mm", value: decimal(value), halfWidth: null }];
  const humidity = conditions.relativeHumidity;
  return [
    {
      id: "ambient-temperature",
      name: said.ambient,
      unit: "°C",
      value: decimal(conditions.ambientTemperature.value),
      halfWidth: decimal(conditions.ambientTemperature.halfWidth),
    },
    ...(humidity === undefined
      ? []
      : [
          {
            id: "relative-humidity" as const,
            name: said.humidity,
            unit: "%" as const,
            value: decimal(humidity.value),
            halfWidth: decimal(humidity.halfWidth),
          },
        ]),
    ...depth("immersion-reference", said.referenceImmersed, kit.reference.immersion),
    ...items.flatMap((item) => depth("immersion-item", said.itemImmersed(item.tag), item.immersion)),
  ];
};

/** The kit as the certificate lists it. */
export const equipmentOf = ({ reference, readout, source }: Kit, { words }: Writing): readonly Equipment[] => {
  const { day } = words.paper;
  const { roles } = words.conditions;
  const calibrated = (role: "reference" | "readout", entry: Kit["reference"] | Kit["readout"]): Equipment => ({
    role,
    roleText: roles[role],
    id: entry.id,
    description: entry.description,
    model: entry.model ?? null,
    serial: entry.serial,
    certificate: entry.calibration.certificate,
    laboratory: entry.calibration.laboratory,
    date: day(entry.calibration.date),
    due: day(entry.calibration.due),
  });
  return [
    calibrated("reference", reference),
    calibrated("readout", readout),
    {
      role: "source",
      roleText: roles.source,
      id: source.id,
      description: source.description,
      model: source.model ?? null,
      serial: source.serial,
      certificate: null,
      laboratory: null,
      date: source.characterised === undefined ? null : day(source.characterised),
      due: null,
    },
  ];
};

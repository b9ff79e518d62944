import type { Item } from "#calibration";
import { decimal } from "./typeset.ts";
import type { Writing } from "./writing.ts";

/** Digits raised, with a raised minus sign. */
export const superscript = (digits: string): string =>
  [...digits].map((digit) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(digit)] ?? "⁻").join("");

/** A coefficient with its power of ten set as such. */
const exponent = (value: number, { set }: Writing): string => {
  if (value === 0) return "0";
  const [mantissa, power] = value.toExponential().split("e") as [string, string];
  return `${set.number(mantissa)}·10${superscript(power.replace("+", ""))}`;
};

/** The sensor and the reference function by which its signal becomes a temperature. */
export const sensorText = ({ sensor }: Pick<Item, "sensor">, writing: Writing): string => {
  const { set } = writing;
  const words = writing.words.item.sensor;
  switch (sensor.kind) {
    case "thermocouple":
      return sensor.deviation === undefined
        ? words.thermocouple(sensor.type)
        : words.thermocoupleDeviation(sensor.type, sensor.deviation.map((d) => set.decimal(d)).join("; "));
    case "platinum":
      return sensor.equation === "its-90"
        ? words.its90(set.unit(decimal(sensor.rtpw), "Ω"))
        : words.callendarVanDusen(
            `R₀\u00a0=\u00a0${set.unit(decimal(sensor.r0), "Ω")}, A\u00a0=\u00a0${exponent(sensor.a, writing)}\u00a0°C⁻¹, B\u00a0=\u00a0${exponent(sensor.b, writing)}\u00a0°C⁻², C\u00a0=\u00a0${exponent(sensor.c, writing)}\u00a0°C⁻⁴`,
          );
    case "thermistor":
      return words.thermistor;
    case "loop": {
      const [low, high] = sensor.current ?? [4, 20];
      return words.loop(
        set.unit(decimal(low), "mA"),
        set.unit(decimal(high), "mA"),
        set.unit(decimal(sensor.lower), "°C"),
        set.unit(decimal(sensor.upper), "°C"),
      );
    }
    case "indication":
      return words.indication;
    case "switch":
      return words.switch(
        sensor.onRise === "opens" ? "opens" : "closes",
        set.unit(decimal(sensor.trip), "°C"),
        sensor.tripsOn,
      );
  }
};

type Switch = Extract<Item["sensor"], { kind: "switch" }>;

/** What is agreed for a switch besides its trip. */
const switchTolerance = (ofTrip: string, { trip, reset, deadBand }: Switch, { words, set }: Writing): string => {
  const said = words.item.tolerance;
  return [
    said.trip(ofTrip, set.unit(decimal(trip), "°C")),
    reset === undefined
      ? ""
      : said.reset(set.unit(`±${decimal(reset.kelvin)}`, "K"), set.unit(decimal(reset.temperature), "°C")),
    deadBand === undefined
      ? ""
      : said.deadBand(set.decimal(deadBand.minimum), set.unit(decimal(deadBand.maximum), "K")),
  ].join("");
};

/** The specification against which conformity is stated. */
export const toleranceText = ({ tolerance, sensor }: Pick<Item, "tolerance" | "sensor">, writing: Writing): string => {
  const { words, set } = writing;
  const said = words.item.tolerance;
  if (tolerance.class !== undefined) return words.item.classes[tolerance.class];
  const table = tolerance.kelvinTable?.map(({ temperature, kelvin }) =>
    said.tableRow(set.unit(`±${decimal(kelvin)}`, "K"), set.unit(decimal(temperature), "°C")),
  );
  const parts = [
    tolerance.kelvin === undefined ? null : set.unit(`±${decimal(tolerance.kelvin)}`, "K"),
    tolerance.percentOfReading === undefined
      ? null
      : said.ofReading(set.unit(`±${decimal(tolerance.percentOfReading)}`, "%")),
    tolerance.percentOfSpan === undefined ? null : said.ofSpan(set.unit(`±${decimal(tolerance.percentOfSpan)}`, "%")),
    table === undefined ? null : said.table(words.paper.and(table)),
  ].filter((part) => part !== null);
  const all = words.paper.and(parts);
  const whole = parts.length === 1 ? all : tolerance.combine === "sum" ? said.sum(all) : said.larger(all);
  return said.agreed(sensor.kind === "switch" ? switchTolerance(whole, sensor, writing) : whole);
};

/** How the reference junction of a thermocouple was known; null for other sensors. */
export const junctionText = ({ coldJunction }: Item, { words, set }: Writing): string | null => {
  if (coldJunction === undefined) return null;
  return coldJunction.kind === "ice-point"
    ? words.item.junction.ice(set.unit(`0 ± ${decimal(coldJunction.halfWidth)}`, "°C"))
    : words.item.junction.channel(coldJunction.channel, set.unit(`±${decimal(coldJunction.halfWidth)}`, "K"));
};

/** What a reader might believe to be covered, and is not (ISO/IEC 17025:2017, 7.8.2.1 n). */
export const notCalibratedText = ({ sensor }: Item, { words }: Writing): string => {
  const said = words.item.notCalibrated;
  switch (sensor.kind) {
    case "thermocouple":
    case "thermistor":
    case "platinum":
      return said.sensor;
    case "loop":
    case "indication":
    case "switch":
      return said[sensor.kind];
  }
};

import type { Reference } from "#calibration";
import { coefficientName } from "./names.ts";
import type { Quantity } from "./quantity.ts";

type Sensor = Reference["sensor"];

export interface FoundSensor {
  readonly sensor: Sensor | null;
  readonly notes: readonly string[];
}

const nothing: FoundSensor = { sensor: null, notes: [] };

/** Single values by the names that they go by. */
const valuesByName = (quantities: readonly Quantity[]): ReadonlyMap<string, Quantity> => {
  const named = new Map<string, Quantity>();
  for (const quantity of quantities) {
    if (quantity.values.length !== 1 || !Number.isFinite(quantity.values[0]!.value)) continue;
    for (const name of quantity.names) {
      const short = coefficientName(name);
      if (!named.has(short)) named.set(short, quantity);
    }
  }
  return named;
};

/** Whether a coefficient's unit can be what the equation needs; a plain number is taken as meant so. */
const fits = ({ unit }: Quantity, exponent: number | "ohm" | "millivolt"): boolean => {
  if (unit?.kind === "one") return true;
  if (typeof exponent === "string") return unit?.kind === exponent;
  return unit?.kind === "kelvin-power" && unit.exponent === exponent;
};

const valueOf = (quantity: Quantity): number => quantity.values[0]!.value;

const callendarVanDusen = (named: ReadonlyMap<string, Quantity>): FoundSensor => {
  const [r0, a, b, c] = ["r0", "a", "b", "c"].map((name) => named.get(name));
  if (r0 === undefined || a === undefined || b === undefined) return nothing;
  const wrong = [
    fits(r0, "ohm") ? null : `R0 in ${r0.unitText}`,
    fits(a, -1) ? null : `A in ${a.unitText}`,
    fits(b, -2) ? null : `B in ${b.unitText}`,
    c === undefined || fits(c, -4) ? null : `C in ${c.unitText}`,
  ].filter((word) => word !== null);
  if (wrong.length > 0)
    return {
      sensor: null,
      notes: [
        `Coefficients named as those of the Callendar-Van Dusen equation have other units (${wrong.join(", ")}), so they are not taken over.`,
      ],
    };
  return {
    sensor: {
      kind: "platinum",
      equation: "callendar-van-dusen",
      r0: valueOf(r0),
      a: valueOf(a),
      b: valueOf(b),
      c: c === undefined ? 0 : valueOf(c),
    },
    notes:
      c === undefined ? ["The certificate gives no C: the equation holds from 0 °C up, and C is written as 0."] : [],
  };
};

const scale = (named: ReadonlyMap<string, Quantity>, words: string): FoundSensor => {
  const rtpw = named.get("rtpw") ?? named.get("rtp");
  const letters = ["a", "b", "c", "d", "c1", "c2", "c3", "c4", "c5"].flatMap((name) => {
    const quantity = named.get(name);
    return quantity !== undefined && quantity.unit?.kind === "one" ? [[name, valueOf(quantity)] as const] : [];
  });
  if (rtpw === undefined || letters.length === 0) return nothing;
  const subrange = Number(/subrange\s*(\d{1,2})\b/i.exec(words)?.[1]);
  if (!(subrange >= 1 && subrange <= 11) || !fits(rtpw, "ohm"))
    return {
      sensor: null,
      notes: [
        "The certificate gives a deviation function of the ITS-90, but not in which subrange, or not with the resistance in Ω; so it is not taken over.",
      ],
    };
  return {
    sensor: {
      kind: "platinum",
      equation: "its-90",
      rtpw: valueOf(rtpw),
      coefficients: [{ subrange, ...Object.fromEntries(letters) }],
    } as Sensor,
    notes: [],
  };
};

const thermocouple = (named: ReadonlyMap<string, Quantity>, words: string): FoundSensor => {
  const type = /\btype\s+([A-Z])\b/i.exec(words)?.[1]?.toUpperCase();
  const deviation: number[] = [];
  for (let power = 0; ; power += 1) {
    const quantity = named.get(`d${power}`);
    if (quantity === undefined) break;
    // A deviation in volts per kelvin would be a thousand times off: only what is plainly in mV is taken.
    if (!fits(quantity, power === 0 ? "millivolt" : Number.NaN))
      return {
        sensor: null,
        notes: [`The deviation polynomial gives d${power} in ${quantity.unitText}, so it is not taken over.`],
      };
    deviation.push(valueOf(quantity));
  }
  if (deviation.length === 0) return nothing;
  if (type === undefined || !"BEJKNRSTCA".includes(type))
    return {
      sensor: null,
      notes: [
        "The certificate gives a deviation polynomial, but not for which type of thermocouple; so it is not taken over.",
      ],
    };
  return { sensor: { kind: "thermocouple", type, deviation } as Sensor, notes: [] };
};

/**
 * A sensor out of quantities whose names are those of an equation's coefficients: R0 A B C; R(0.01 °C) with the deviation
 * function of the ITS-90; d0 d1 … of a thermocouple. `words` are the texts of the result and the item, where a type letter
 * or a subrange stands. What is only half there is not guessed: `notes` says what was missing.
 */
export const sensorFrom = (quantities: readonly Quantity[], words: string): FoundSensor => {
  const named = valuesByName(quantities);
  for (const read of [callendarVanDusen, scale, thermocouple]) {
    const found = read(named, words);
    if (found.sensor !== null || found.notes.length > 0) return found;
  }
  return nothing;
};

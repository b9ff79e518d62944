import type { Sensor } from "#thermometry";

/** One number of a sensor that a certificate gives. */
export interface NamedCoefficient {
  readonly name: string;
  readonly value: number;
}

const named = (values: Readonly<Record<string, number | undefined>>): NamedCoefficient[] =>
  Object.entries(values).flatMap(([name, value]) => (value === undefined ? [] : [{ name, value }]));

/** `7.a` where a certificate gives several subranges, plain `a` where it gives one. */
const subrangeName = (entries: number, subrange: number, name: string): string =>
  entries === 1 ? name : `${subrange}.${name}`;

/**
 * The coefficients of a sensor by name, in the order of the certificate: `r0 a b c`, `rtpw a b …` (`7.a` where there are
 * several subranges), `d0 d1 …` of a thermocouple's deviation, `a b c d` of a thermistor. A loop (its line is
 * its scaling) and an indication have none.
 */
export const coefficientsOf = (sensor: Sensor): NamedCoefficient[] => {
  switch (sensor.kind) {
    case "thermocouple":
      return (sensor.deviation ?? []).map((value, power) => ({ name: `d${power}`, value }));
    case "platinum":
      if (sensor.equation === "callendar-van-dusen")
        return named({ r0: sensor.r0, a: sensor.a, b: sensor.b, c: sensor.c });
      return [
        { name: "rtpw", value: sensor.rtpw },
        ...sensor.coefficients.flatMap(({ subrange, ...values }) =>
          named(values).map(({ name, value }) => ({
            name: subrangeName(sensor.coefficients.length, subrange, name),
            value,
          })),
        ),
      ];
    case "thermistor":
      return named({ a: sensor.a, b: sensor.b, c: sensor.c, d: sensor.d });
    case "loop":
    case "indication":
    case "switch":
      return [];
  }
};

/** The same sensor with some of its coefficients changed. A name that it does not have changes nothing. */
export const withCoefficients = (sensor: Sensor, changes: ReadonlyMap<string, number>): Sensor => {
  const pick = (name: string, value: number): number => changes.get(name) ?? value;
  switch (sensor.kind) {
    case "thermocouple":
      return sensor.deviation === undefined
        ? sensor
        : { ...sensor, deviation: sensor.deviation.map((value, power) => pick(`d${power}`, value)) };
    case "platinum":
      if (sensor.equation === "callendar-van-dusen") {
        const { r0, a, b, c } = sensor;
        return { ...sensor, r0: pick("r0", r0), a: pick("a", a), b: pick("b", b), c: pick("c", c) };
      }
      return {
        ...sensor,
        rtpw: pick("rtpw", sensor.rtpw),
        coefficients: sensor.coefficients.map(({ subrange, ...values }) => ({
          subrange,
          ...Object.fromEntries(
            named(values).map(({ name, value }) => [
              name,
              pick(subrangeName(sensor.coefficients.length, subrange, name), value),
            ]),
          ),
        })),
      };
    case "thermistor": {
      const { a, b, c, d } = sensor;
      const terms = { a: pick("a", a), b: pick("b", b), c: pick("c", c) };
      return { ...sensor, ...terms, ...(d === undefined ? {} : { d: pick("d", d) }) };
    }
    case "loop":
    case "indication":
    case "switch":
      return sensor;
  }
};

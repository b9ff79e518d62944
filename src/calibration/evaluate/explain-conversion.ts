import { referenceRatio, signalOf, subrangeOf, type Sensor } from "#thermometry";
import type { ChannelUnit } from "#quantity";
import { inWords } from "./budget-line.ts";

/** One line of a derivation: the equation in symbols, and the same with the values put in. */
export interface ExplainedLine {
  readonly symbols: string;
  readonly values: string;
}

/** The mean signal of a point as a temperature, step by step. */
export interface ExplainedConversion {
  readonly of: "reference" | "item";
  /** The sensor's equation by name, with its coefficients where they are few. */
  readonly equation: string;
  readonly lines: readonly ExplainedLine[];
  readonly signal: number;
  readonly unit: ChannelUnit;
  /** °C; the mean of the single conversions, from which that of the mean signal differs by far less than a digit. */
  readonly temperature: number;
}

/** A correction: applied with its value, or estimated as 0 and therefore a line of the budget only. */
export interface ExplainedCorrection {
  readonly name: string;
  readonly applied: boolean;
  readonly words: string;
}

/** A sensor's equation in words. */
export const equationOf = (sensor: Sensor): string => {
  switch (sensor.kind) {
    case "thermocouple": {
      const deviation = sensor.deviation === undefined ? "" : ", deviation function added";
      return `type ${sensor.type}, E = V + E(t_cj), then the inverse of the reference function of IEC 60584-1${deviation}`;
    }
    case "platinum":
      return sensor.equation === "its-90"
        ? "ITS-90, W = R/R(TPW), its own deviation functions"
        : `Callendar-Van Dusen, R0 = ${sensor.r0} Ω, A = ${sensor.a}, B = ${sensor.b}, C = ${sensor.c}`;
    case "thermistor":
      return `Steinhart-Hart, A = ${sensor.a}, B = ${sensor.b}, C = ${sensor.c}${sensor.d === undefined ? "" : `, D = ${sensor.d}`}`;
    case "loop": {
      const [first, second] = sensor.current ?? [4, 20];
      return `straight line, ${first} mA at ${sensor.lower} °C, ${second} mA at ${sensor.upper} °C`;
    }
    case "indication":
      return "shows the temperature itself";
    case "switch":
      return "a contact, which says only on which side of its trip it is";
  }
};

/** A number with its sign written out in front, for sums. */
const plus = (value: number): string => (value < 0 ? `− ${-value}` : `+ ${value}`);

type ScalePlatinum = Extract<Sensor, { equation: "its-90" }>;

/** The subrange that holds at a temperature: below or above 0.01 °C. */
const subrangeAt = ({ coefficients }: ScalePlatinum, temperature: number) =>
  coefficients.find(({ subrange }) => {
    const range = subrangeOf(subrange);
    return range !== undefined && temperature >= range.lower && temperature <= range.upper;
  }) ?? coefficients[0];

const scaleLines = (sensor: ScalePlatinum, signal: number, temperature: number): ExplainedLine[] => {
  const ratio = referenceRatio(temperature);
  if (!ratio.ok) return [];
  const ownRatio = signal / sensor.rtpw;
  const used = subrangeAt(sensor, temperature);
  const named = Object.entries(used ?? {}).filter(([name]) => name !== "subrange");
  return [
    {
      symbols: "W = R/R(0.01 °C)",
      values: `${signal.toFixed(6)} Ω / ${sensor.rtpw} Ω = ${ownRatio.toFixed(8)}`,
    },
    {
      symbols: "W_r = W − ΔW(W), ΔW the deviation function of its certificate",
      values: `${ownRatio.toFixed(8)} ${plus(Number((ratio.value.ratio - ownRatio).toFixed(8)))} = ${ratio.value.ratio.toFixed(8)}, subrange ${used?.subrange ?? "–"} with ${named.map(([name, value]) => `${name} = ${String(value)}`).join(", ")}`,
    },
    { symbols: "t: W_r(t) = W_r, the reference function inverted exactly", values: `t = ${temperature.toFixed(4)} °C` },
  ];
};

const thermocoupleLines = (
  sensor: Extract<Sensor, { kind: "thermocouple" }>,
  signal: number,
  temperature: number,
  junction: number | null,
): ExplainedLine[] => {
  const at = junction ?? 0;
  const own = signalOf(sensor, at);
  if (!own.ok) return [];
  const electromotiveForce = signal + own.value.signal;
  return [
    { symbols: "E(t_cj)", values: `E(${at.toFixed(3)} °C) = ${own.value.signal.toFixed(5)} mV` },
    {
      symbols: "E = V + E(t_cj)",
      values: `${signal.toFixed(5)} mV ${plus(Number(own.value.signal.toFixed(5)))} mV = ${electromotiveForce.toFixed(5)} mV`,
    },
    {
      symbols: `t: E_${sensor.type}(t)${sensor.deviation === undefined ? "" : " + d(t)"} = E, inverted exactly`,
      values: `t = ${temperature.toFixed(4)} °C`,
    },
  ];
};

/** The lines of one conversion, the values of the point's means put in. */
export const conversionLines = (
  sensor: Sensor,
  signal: number,
  temperature: number,
  junction: number | null,
): ExplainedLine[] => {
  const result = `t = ${temperature.toFixed(4)} °C`;
  switch (sensor.kind) {
    case "thermocouple":
      return thermocoupleLines(sensor, signal, temperature, junction);
    case "platinum": {
      if (sensor.equation === "its-90") return scaleLines(sensor, signal, temperature);
      const { r0, a, b, c } = sensor;
      const cold = temperature < 0;
      return [
        {
          symbols: `R = R0·(1 + A·t + B·t²${cold ? " + C·(t − 100 °C)·t³" : ""}), solved for t`,
          values: `${signal.toFixed(5)} Ω = ${r0} Ω·(1 ${plus(a)}·t ${plus(b)}·t²${cold ? ` ${plus(c)}·(t − 100)·t³` : ""}), so ${result}`,
        },
      ];
    }
    case "thermistor": {
      const { a, b, c, d } = sensor;
      const square = d === undefined || d === 0 ? ["", ""] : [" + D·(ln R)²", ` ${plus(d)}·(ln R)²`];
      return [
        {
          symbols: `1/T = A + B·ln R + C·(ln R)³${square[0]}, T = t + 273.15`,
          values: `1/T = ${a} ${plus(b)}·ln R ${plus(c)}·(ln R)³${square[1]} at R = ${signal.toFixed(4)} Ω, so ${result}`,
        },
      ];
    }
    case "loop": {
      const [first, second] = sensor.current ?? [4, 20];
      const { lower, upper } = sensor;
      return [
        {
          symbols: "t = t_low + (I − I_low)/(I_high − I_low)·(t_high − t_low)",
          values: `${lower} °C + (${signal.toFixed(5)} − ${first})/${second - first}·(${upper} ${lower < 0 ? `+ ${-lower}` : `− ${lower}`}) °C = ${temperature.toFixed(4)} °C`,
        },
      ];
    }
    case "indication":
      return [{ symbols: "t as it is shown", values: result }];
    case "switch":
      return [];
  }
};

/** What of a conversion is a correction for something known. */
export const conversionCorrections = (
  sensor: Sensor,
  signal: number,
  temperature: number,
  junction: number | null,
): ExplainedCorrection[] => {
  if (sensor.kind === "thermocouple") {
    const own = signalOf(sensor, junction ?? 0);
    const deviation = (sensor.deviation ?? []).reduceRight((sum, value) => sum * temperature + value, 0);
    return [
      ...(own.ok
        ? [
            {
              name: "Reference junction",
              applied: true,
              words: `${plus(Number(own.value.signal.toFixed(5)))} mV for the junction at ${(junction ?? 0).toFixed(3)} °C, as electromotive force and not as a temperature`,
            },
          ]
        : []),
      ...(sensor.deviation === undefined
        ? []
        : [
            {
              name: "Deviation from the reference function",
              applied: true,
              words: `${plus(Number(deviation.toFixed(5)))} mV at ${inWords(temperature)} °C, from its coefficients`,
            },
          ]),
    ];
  }
  if (sensor.kind !== "platinum" || sensor.equation !== "its-90") return [];
  const ratio = referenceRatio(temperature);
  if (!ratio.ok) return [];
  const deviation = signal / sensor.rtpw - ratio.value.ratio;
  return [
    {
      name: "Deviation from the ITS-90 reference function",
      applied: true,
      words: `ΔW = ${deviation.toFixed(8)}, worth ${(-deviation / ratio.value.slope).toFixed(4)} K, from the coefficients of its certificate`,
    },
  ];
};

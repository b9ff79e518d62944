import type { Decision, DecisionRule, Item, Pass } from "#calibration";
import type { LabelKey } from "./model.ts";
import { decimal, percent, setMinus, withUnit } from "./typeset.ts";

/** Every label of an English certificate. */
export const labels: Readonly<Record<LabelKey, string>> = {
  number: "Certificate number",
  laboratory: "Calibrated by",
  customer: "For",
  summary: "Statement of conformity",
  item: "Item",
  serial: "Serial number",
  results: "Results",
  conditions: "Method and conditions",
  traceability: "Traceability and equipment",
  statements: "Statements",
  record: "Record",
  authorisation: "Authorisation",
  calibratedBy: "Calibration carried out by",
  authorisedBy: "Authorised by",
  signature: "Signature",
  date: "Date of issue",
  equipment: "Equipment",
  certificate: "Certificate",
  calibrated: "Calibrated",
  due: "Valid until",
  page: "Page",
  of: "of",
  end: "End of certificate",
  adjustment: "Adjustment",
  notCalibrated: "Not calibrated",
  description: "Description",
  attachment: "The same certificate for machines: Digital Calibration Certificate 3.3.0",
};

export const title = "Calibration certificate";
export const rehearsalBand = "Rehearsal on a simulated bench — not a calibration certificate";
export const previewBand = "Preview — not issued";
export const unfitBand = "Not fit for issue — the check before issue has stops";

export const passNames: Readonly<Record<Pass, string>> = { "as-found": "As found", "as-left": "As left" };
export const passExplanations: Readonly<Record<Pass, string>> = {
  "as-found": "as found, before any adjustment",
  "as-left": "as left",
};

export const decisionWords: Readonly<Record<Decision | "none", string>> = {
  pass: "Pass",
  "conditional-pass": "Conditional pass",
  undecided: "Undecided",
  "conditional-fail": "Conditional fail",
  fail: "Fail",
  none: "None stated",
};

export const unmeasuredWords = {
  skipped: { one: "was skipped", many: "were skipped" },
  "not-measured": { one: "was not measured", many: "were not measured" },
  flagged: {
    one: "has no result because its signal was faulty",
    many: "have no result because the signal was faulty",
  },
} as const;

/** A list in words. */
export const joined = (parts: readonly string[]): string =>
  parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)!}`;

/** The sensor and the reference function by which its signal becomes a temperature. */
export const sensorText = ({ sensor }: Item): string => {
  switch (sensor.kind) {
    case "thermocouple":
      return sensor.deviation === undefined
        ? `Thermocouple type ${sensor.type}, reference function of IEC 60584-1`
        : `Thermocouple type ${sensor.type}, reference function of IEC 60584-1 with deviation polynomial ${sensor.deviation.map((d) => setMinus(decimal(d))).join("; ")} (mV, powers of t/°C from 0)`;
    case "platinum":
      return sensor.equation === "its-90"
        ? `Platinum resistance thermometer, ITS-90 deviation functions, R(0.01 °C) = ${withUnit(decimal(sensor.rtpw), "Ω")}`
        : `Platinum resistance thermometer, Callendar-Van Dusen equation, R₀\u00a0=\u00a0${withUnit(decimal(sensor.r0), "Ω")}, A\u00a0=\u00a0${exponent(sensor.a)}\u00a0°C⁻¹, B\u00a0=\u00a0${exponent(sensor.b)}\u00a0°C⁻², C\u00a0=\u00a0${exponent(sensor.c)}\u00a0°C⁻⁴`;
    case "thermistor":
      return "Thermistor, Steinhart-Hart equation";
    case "loop": {
      const [low, high] = sensor.current ?? [4, 20];
      return `Temperature transmitter, ${withUnit(decimal(low), "mA")} to ${withUnit(decimal(high), "mA")} for ${withUnit(decimal(sensor.lower), "°C")} to ${withUnit(decimal(sensor.upper), "°C")}, linear`;
    }
    case "indication":
      return "Indicating thermometer, read in °C";
    case "switch":
      return `Temperature switch, its contact ${sensor.onRise === "opens" ? "opens" : "closes"} when the temperature rises, trip at ${withUnit(decimal(sensor.trip), "°C")} ${sensor.tripsOn}`;
  }
};

export const superscript = (digits: string): string =>
  [...digits].map((digit) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[Number(digit)] ?? "⁻").join("");

/** A coefficient with its power of ten set as such. */
const exponent = (value: number): string => {
  if (value === 0) return "0";
  const [mantissa, power] = value.toExponential().split("e") as [string, string];
  return `${setMinus(mantissa)}·10${superscript(power.replace("+", ""))}`;
};

const classNames: Readonly<Record<string, string>> = {
  "iec-60584-1/1": "IEC 60584-1, tolerance class 1",
  "iec-60584-1/2": "IEC 60584-1, tolerance class 2",
  "iec-60584-1/3": "IEC 60584-1, tolerance class 3",
  "astm-e230/standard": "ASTM E230, standard tolerance",
  "astm-e230/special": "ASTM E230, special tolerance",
  "iec-60751/AA": "IEC 60751, class AA",
  "iec-60751/A": "IEC 60751, class A",
  "iec-60751/B": "IEC 60751, class B",
  "iec-60751/C": "IEC 60751, class C",
};

type Switch = Extract<Item["sensor"], { kind: "switch" }>;

/** What is agreed for a switch besides its trip. */
const switchToleranceText = ({ trip, reset, deadBand }: Switch): string => {
  const parts = [
    ` for the trip at ${withUnit(decimal(trip), "°C")}`,
    reset === undefined
      ? ""
      : `; ${withUnit(`±${decimal(reset.kelvin)}`, "K")} for the reset at ${withUnit(decimal(reset.temperature), "°C")}`,
    deadBand === undefined
      ? ""
      : `; dead band ${decimal(deadBand.minimum)} to ${withUnit(decimal(deadBand.maximum), "K")}`,
  ];
  return parts.join("");
};

/** The specification against which conformity is stated. */
export const toleranceText = ({ tolerance, sensor }: Item): string => {
  if (tolerance.class !== undefined) return classNames[tolerance.class] ?? tolerance.class;
  const parts = [
    tolerance.kelvin === undefined ? null : withUnit(`±${decimal(tolerance.kelvin)}`, "K"),
    tolerance.percentOfReading === undefined
      ? null
      : `${withUnit(`±${decimal(tolerance.percentOfReading)}`, "%")} of the temperature in °C`,
    tolerance.percentOfSpan === undefined ? null : `${withUnit(`±${decimal(tolerance.percentOfSpan)}`, "%")} of span`,
  ].filter((part) => part !== null);
  const joinedParts =
    parts.length === 1
      ? parts[0]!
      : `${tolerance.combine === "sum" ? "the sum of" : "the larger of"} ${parts.join(" and ")}`;
  const switchLimits = sensor.kind === "switch" ? switchToleranceText(sensor) : "";
  return `${joinedParts}${switchLimits}, as agreed with the customer`;
};

/** How the reference junction of a thermocouple was known; null for other sensors. */
export const junctionText = ({ coldJunction }: Item): string | null => {
  if (coldJunction === undefined) return null;
  return coldJunction.kind === "ice-point"
    ? `Ice point, ${withUnit(`0 ± ${decimal(coldJunction.halfWidth)}`, "°C")}`
    : `Measured on channel ${coldJunction.channel}, ${withUnit(`±${decimal(coldJunction.halfWidth)}`, "K")}`;
};

/** What a reader might believe to be covered, and is not (ISO/IEC 17025:2017, 7.8.2.1 n). */
export const notCalibratedText = ({ sensor }: Item): string => {
  switch (sensor.kind) {
    case "thermocouple":
    case "thermistor":
    case "platinum":
      return "The sensor was calibrated with the leads it came with. The instrument and the cable that it is connected to in service were not.";
    case "loop":
      return "The transmitter was calibrated together with its sensor, by its loop current. The input, the display and the control system that receive this current in service were not.";
    case "indication":
      return "The thermometer was calibrated by its own display. Signal outputs, alarms and recording functions were not.";
    case "switch":
      return "The switch was calibrated by its contact, in a heat source. What the contact acts on in service (relay, interlock, alarm) was not, nor its load or switching capacity.";
  }
};

const ownRisk =
  "For each point the table states the specific risk, that its own statement is wrong, for an error distributed normally (with few degrees of freedom, by Student's distribution) with the standard uncertainty U/k.";

const guardBandText = (factor: number): { name: string; text: string } => {
  const width = factor === 1 ? "w = U" : `w = ${decimal(factor)}·U`;
  const bound =
    factor >= 1
      ? "For a point that passes, the risk that its true error lies outside the tolerance is then 2.5 % or less (ILAC-G8:09/2019). "
      : "";
  return {
    name: `guard band ${width}`,
    text: `Guard band ${width} on each side, U being the expanded uncertainty of the same point: a point passes when its error lies within the acceptance limits, which are the limits of the tolerance drawn in by w, and fails otherwise. ${bound}${ownRisk}`,
  };
};

/** The decision rule in words, with its formula and its level of risk (ISO/IEC 17025:2017, 7.8.6; ILAC-G8:09/2019). */
export const ruleText = (rule: DecisionRule): { name: string; text: string } => {
  switch (rule.kind) {
    case "simple":
      return {
        name: "simple acceptance",
        text: `Simple acceptance, without a guard band (w = 0): a point passes when its error lies within the tolerance, limits included, and fails otherwise. For an error that lies exactly on a limit the risk of a wrong statement reaches 50 %. ${ownRisk}`,
      };
    case "guard-band":
      return guardBandText(rule.factor);
    case "specific-risk": {
      const limit = percent(rule.limit);
      return {
        name: `specific risk of ${limit} or less`,
        text: `Guard band by specific risk: a point passes when the probability that its true error lies outside the tolerance is ${limit} or less, given this measurement alone (JCGM 106:2012, 8.3.2), and fails otherwise. The acceptance limits in the table follow from that probability and the uncertainty of the point; both ends of the tolerance count. ${ownRisk}`,
      };
    }
    case "g8-non-binary":
      return {
        name: "non-binary statement with guard band w = U",
        text: `Non-binary statement with guard band w = U (ILAC-G8:09/2019, 4.2.3), U being the expanded uncertainty of the same point. Pass: the error lies within the acceptance limits, which are the limits of the tolerance drawn in by w; the risk that the true error lies outside the tolerance is then 2.5 % or less. Conditional pass: the error lies within the tolerance but outside the acceptance limits; that risk is up to 50 %. Conditional fail: the error lies outside the tolerance by no more than w; the risk that the true error lies within the tolerance is up to 50 %. Fail: the error lies outside by more than w; that risk is then 2.5 % or less. ${ownRisk}`,
      };
  }
};

/** Added to the rule where a point is undecided. */
export const undecidedText =
  "Where U leaves no room between the acceptance limits, no statement can be made and the point is called undecided; that is not a failure.";

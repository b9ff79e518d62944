import type { Decision, Pass, ToleranceClass } from "#calibration";
import type { Column, LabelKey, Language, Statement } from "../model.ts";
import type { DataWords } from "./data-words.ts";

/** A sentence into which something is set. */
export type Worded = (text: string) => string;
type ByPass = Readonly<Record<Pass, string>>;
type Role = "reference" | "readout" | "source";
type Direction = "rising" | "falling";

/** Words of the first page, the record and the bands. Every number in an argument is set already. */
export interface PaperWords {
  readonly title: string;
  readonly labels: Readonly<Record<LabelKey, string>>;
  readonly bands: {
    readonly rehearsal: string;
    readonly preview: string;
    readonly unfit: string;
    readonly withdrawn: (day: string, reason: string) => string;
    readonly replaced: (number: string, day: string) => string;
  };
  /** A day written year-month-day, as the language writes it in a sentence. Anything else comes back as it is. */
  readonly day: Worded;
  readonly and: (parts: readonly string[]) => string;
  readonly facts: {
    readonly calibrated: string;
    readonly received: string;
    readonly issued: string;
    readonly place: string;
    readonly method: string;
    readonly job: string;
    readonly due: string;
    readonly dueAgreed: (day: string, agreedWith: string) => string;
    readonly period: (begun: string, ended: string) => string;
    readonly methodOf: (identifier: string, revision: string) => string;
    readonly methodTitled: (identifier: string, revision: string, title: string) => string;
  };
  readonly record: {
    readonly run: string;
    readonly job: string;
    readonly opened: string;
    readonly utc: Worded;
    readonly software: string;
    readonly seed: string;
    readonly hash: string;
  };
  readonly summaryNote: (rule: string) => string;
  readonly passNames: ByPass;
  readonly resultsOf: ByPass;
  readonly decisions: Readonly<Record<Decision | "none", string>>;
  /** The languages, as the line about the text that holds names them. */
  readonly languages: Readonly<Record<Language, string>>;
  /** The line above a part in a further language: which text holds. */
  readonly translation: (binding: string) => string;
  readonly amendment: {
    readonly text: (number: string, day: string, reason: string) => string;
    readonly columns: { readonly what: string; readonly before: string; readonly after: string };
    readonly languages: string;
    readonly noChange: string;
    readonly nothing: string;
    readonly person: string;
    readonly results: (tag: string, pass: string, point: string) => string;
  };
  readonly label: {
    readonly calibrated: string;
    readonly certificate: string;
    readonly result: string;
    readonly due: string;
    readonly serial: string;
  };
}

/** Words about an item and how it was read. */
export interface ItemWords {
  readonly heading: Worded;
  readonly facts: {
    readonly tag: string;
    readonly serial: string;
    readonly description: string;
    readonly model: string;
    readonly place: string;
    readonly condition: string;
    readonly sensor: string;
    readonly junction: string;
    readonly specification: string;
    readonly range: string;
    readonly immersion: string;
    readonly notCalibrated: string;
  };
  readonly span: (lower: string, upper: string) => string;
  readonly sensor: {
    readonly thermocouple: (type: string) => string;
    readonly thermocoupleDeviation: (type: string, coefficients: string) => string;
    readonly its90: (rtpw: string) => string;
    readonly callendarVanDusen: (coefficients: string) => string;
    readonly thermistor: string;
    readonly loop: (low: string, high: string, lower: string, upper: string) => string;
    readonly indication: string;
    readonly switch: (action: "opens" | "closes", trip: string, tripsOn: Direction) => string;
  };
  readonly classes: Readonly<Record<ToleranceClass, string>>;
  readonly tolerance: {
    readonly ofReading: Worded;
    readonly ofSpan: Worded;
    readonly table: (rows: string) => string;
    readonly tableRow: (kelvin: string, temperature: string) => string;
    readonly larger: Worded;
    readonly sum: Worded;
    readonly agreed: Worded;
    readonly trip: (kelvin: string, temperature: string) => string;
    readonly reset: (kelvin: string, temperature: string) => string;
    readonly deadBand: (minimum: string, maximum: string) => string;
  };
  readonly junction: { readonly ice: Worded; readonly channel: (name: string, halfWidth: string) => string };
  readonly notCalibrated: {
    readonly sensor: string;
    readonly loop: string;
    readonly indication: string;
    readonly switch: string;
  };
  readonly adjustment: {
    readonly coefficients: (sensor: string, by: string) => string;
    readonly none: string;
    readonly zeroAndSpan: (zero: string, span: string) => string;
    readonly by: (by: string) => string;
    readonly byAllowed: (by: string, allowed: string) => string;
  };
  readonly picture: {
    readonly heading: string;
    readonly alt: (tag: string, lines: string) => string;
    readonly altPoint: (error: string, U: string, temperature: string) => string;
    readonly bars: string;
    readonly joinedLimits: string;
    readonly noTolerance: string;
    readonly guardOfLeft: string;
    readonly x: string;
    readonly y: string;
    readonly withinAcceptance: string;
    readonly withinTolerance: string;
    readonly guard: string;
  };
}

/** Words of the tables of results, and what stands under them. */
export interface ResultWords {
  readonly columns: Readonly<Record<Exclude<Column["key"], "name" | "measured" | "U" | "k">, string>>;
  readonly unmeasured: Readonly<
    Record<"skipped" | "not-measured" | "flagged", { readonly one: string; readonly many: string }>
  >;
  /** "The point at … was skipped: …" */
  readonly point: (place: string, verb: string, reason: string) => string;
  readonly points: (places: string, verb: string, reason: string) => string;
  readonly unstated: (place: string, reason: string) => string;
  readonly noTolerance: string;
  readonly repeated: (place: string, reason: string) => string;
  readonly unfitted: Worded;
  readonly hysteresis: (place: string, difference: string, U: string) => string;
  readonly added: (place: string, reason: string) => string;
  readonly outside: (places: string) => string;
  readonly notReached: (outcome: "stopped" | "failed" | "completed" | "open", reason: string | null) => string;
  readonly notRepeated: Worded;
  /** A sentence that the evaluation wrote, which is English. */
  readonly inEnglish: Worded;
  readonly evidence: {
    readonly heading: string;
    readonly pass: string;
    readonly point: string;
    readonly readings: string;
    readonly signal: string;
    readonly remainder: string;
    readonly target: string;
    readonly notRecorded: string;
  };
  readonly check: {
    readonly iceHolds: (serial: string, difference: string, limit: string) => string;
    readonly iceFailed: (serial: string, difference: string, limit: string) => string;
    readonly besideHolds: (serial: string, difference: string, limit: string, beside: string) => string;
    readonly besideFailed: (serial: string, difference: string, limit: string, beside: string) => string;
    readonly besideOf: (serial: string, certificate: string) => string;
    readonly weak: string;
    readonly notMade: string;
    readonly leftOut: Worded;
    readonly firstHolds: (pass: string, differences: string, limit: string) => string;
    readonly firstFailed: (pass: string, differences: string, limit: string) => string;
    readonly firstNotMade: Worded;
  };
}

export interface FitWords {
  readonly headingOf: ByPass;
  readonly aboveAluminium: string;
  readonly callendarVanDusen: (equation: string) => string;
  readonly callendarVanDusenBelow: (equation: string) => string;
  readonly its90: (equation: string, subrange: string) => string;
  readonly deviation: (equation: string, type: string) => string;
  readonly polynomial: (equation: string, unit: string, junction: boolean) => string;
  readonly columns: {
    readonly coefficient: string;
    readonly value: string;
    readonly uncertainty: string;
    readonly unit: string;
  };
  readonly quality: (points: string, left: string, largest: string, at: string) => string;
  readonly nothingLeft: string;
  readonly degrees: (count: number) => string;
  readonly scatter: Worded;
  readonly tableHeading: (lower: string, upper: string) => string;
  readonly tableNote: (k: string, coverage: string) => string;
  readonly signal: string;
}

export interface SwitchWords {
  readonly action: string;
  readonly agreed: string;
  readonly measured: string;
  readonly deviation: string;
  readonly limits: string;
  readonly deadBand: string;
  readonly change: (role: "trip" | "reset", contact: "opens" | "closes", direction: Direction) => string;
  readonly between: (lower: string, upper: string) => string;
  readonly lagDeclared: Worded;
  readonly lagTwoRates: (seconds: string, u: string) => string;
  readonly lagBounded: Worded;
  readonly noResult: (name: string, reason: string) => string;
  readonly noDeadBand: Worded;
  readonly unstated: (name: string, reason: string) => string;
  readonly noLimits: string;
  readonly ramp: (cycle: string, direction: Direction) => string;
  readonly rampNote: (ramp: string, reason: string) => string;
  readonly leftOut: string;
  readonly unchanged: string;
  readonly needsBoth: string;
  readonly evidence: {
    readonly heading: string;
    readonly ramp: string;
    readonly rate: string;
    readonly contact: string;
    readonly reference: string;
    readonly between: string;
  };
  readonly changed: (bounces: number) => string;
  readonly states: Readonly<Record<"no-change" | "flagged" | "skipped" | "not-measured", string>>;
}

/** Method, conditions and equipment. */
export interface ConditionWords {
  readonly method: string;
  readonly principle: string;
  readonly sources: Readonly<Record<"bath" | "dry-block" | "furnace", string>>;
  readonly comparison: Worded;
  readonly points: string;
  readonly visited: Worded;
  readonly orders: {
    readonly one: string;
    readonly rising: string;
    readonly falling: string;
    readonly table: string;
  };
  readonly readings: string;
  readonly readingsOf: (count: string, interval: string) => string;
  /** Of what a person reads; `what` are tags of items, null for the reference alone. */
  readonly byHandOf: (what: string | null, count: string, interval: string) => string;
  readonly wiredBeside: string;
  readonly settling: string;
  readonly settlingOf: (limit: string, window: string) => string;
  readonly ofTolerance: Worded;
  readonly ramps: string;
  readonly rampPrinciple: Worded;
  readonly rampsOf: (times: number, rates: string, by: string, soak: string) => string;
  readonly byRamp: string;
  readonly bySteps: Worded;
  readonly rampReadings: Worded;
  readonly change: string;
  readonly changeOf: Worded;
  readonly ambient: string;
  readonly humidity: string;
  readonly referenceImmersed: string;
  readonly itemImmersed: Worded;
  readonly remarks: string;
  readonly roles: Readonly<Record<Role, string>>;
  readonly replacedRole: (role: string) => string;
}

export interface StatementWords {
  readonly headings: Readonly<Record<Statement["id"], string>>;
  readonly traceability: (parts: {
    readonly reference: string;
    readonly referenceCertificate: string;
    readonly referenceDay: string;
    readonly referenceLaboratory: string;
    readonly readout: string;
    readonly readoutCertificate: string;
    readonly readoutDay: string;
    readonly readoutLaboratory: string;
  }) => string;
  readonly uncertainty: Worded;
  readonly uncertaintyOfSwitch: Worded;
  readonly stability: string;
  readonly conformity: (rule: string) => string;
  readonly undecided: string;
  readonly ownRisk: string;
  readonly rules: {
    readonly simple: { readonly name: string; readonly text: string };
    readonly guardBand: { readonly name: Worded; readonly text: Worded; readonly bound: string };
    readonly specificRisk: { readonly name: Worded; readonly text: Worded };
    readonly nonBinary: { readonly name: string; readonly text: string };
  };
  readonly scope: string;
  readonly reproduction: string;
  readonly customerData: (things: string) => string;
  readonly customerThings: {
    readonly tag: string;
    readonly place: string;
    readonly range: string;
    readonly tolerance: string;
  };
  readonly accreditation: {
    readonly within: (text: string) => string;
    readonly outside: string;
  };
  readonly deviations: {
    readonly none: string;
    readonly ended: (outcome: "stopped" | "failed", reason: string | null) => string;
    readonly rejected: (count: number) => string;
    readonly kitChange: (role: Role, from: string, to: string, reason: string) => string;
    readonly ramps: (tag: string, pass: Pass) => string;
    readonly points: (tag: string, pass: Pass) => string;
  };
  readonly globalRisk: {
    readonly text: (parts: string) => string;
    readonly part: (tag: string, pass: string, prior: string, points: string) => string;
    readonly notStated: Worded;
    readonly stated: (place: string, consumer: string, producer: string) => string;
    readonly prior: (whose: "item" | "class", from: string, to: string, deviation: string) => string;
    readonly spread: (least: string, most: string) => string;
  };
}

/** Every word of a certificate in one language. A word that is missing in a table does not compile. */
export interface Words {
  readonly paper: PaperWords;
  readonly item: ItemWords;
  readonly results: ResultWords;
  readonly fit: FitWords;
  readonly switch: SwitchWords;
  readonly conditions: ConditionWords;
  readonly statements: StatementWords;
  readonly data: DataWords;
}

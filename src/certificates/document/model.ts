import type { Decision, Pass } from "#calibration";
import type { Language } from "./issue-data.ts";
import type { DataWords } from "./words/data-words.ts";

export type { IssueData, Language } from "./issue-data.ts";

/** A label and its text, for the lists of facts. */
export interface Fact {
  readonly label: string;
  readonly text: string;
  /** Differs from the certificate that this one amends. */
  readonly changed?: boolean;
}

/** A number as it is set on paper, and as a program reads it (ASCII). */
export interface Cell {
  readonly text: string;
  readonly plain: string;
}

export interface PartyText {
  readonly name: string;
  readonly lines: readonly string[];
  readonly contact: string | null;
  readonly accreditation: string | null;
  /** ISO 3166-1 code of two letters; null where the job does not say. */
  readonly country: string | null;
  readonly changed?: boolean;
}

export interface DecisionText {
  readonly kind: Decision | "none";
  readonly word: string;
}

/** One measured point in a table of results. Lower and upper limits are plain numbers in K. */
export interface ResultRow {
  readonly point: number;
  /** What the row is about, and the value with its unit, where rows are of several kinds (a switch). */
  readonly name?: Cell;
  readonly measured?: Cell;
  readonly nominal: Cell;
  readonly reference: Cell;
  readonly indication: Cell;
  readonly error: Cell;
  readonly U: Cell;
  readonly k: Cell;
  readonly tolerance: Cell | null;
  readonly acceptance: Cell | null;
  readonly limits: { readonly lower: string; readonly upper: string } | null;
  readonly acceptanceLimits: { readonly lower: string; readonly upper: string } | null;
  readonly decision: DecisionText;
  readonly risk: string;
  readonly readings: string;
  /** What was still missing of settling when the readings began, and the target, K; null where the log has none. */
  readonly settled: { readonly remainder: string; readonly target: string } | null;
  /** Mean signal of the item, with unit. */
  readonly signal: string;
}

export interface Column {
  readonly key:
    | "name"
    | "measured"
    | "nominal"
    | "reference"
    | "indication"
    | "error"
    | "U"
    | "k"
    | "tolerance"
    | "acceptance"
    | "risk"
    | "decision";
  readonly heading: string;
  readonly unit: string;
}

/** A row of a switch as a program reads it: which quantity it is, and in which unit. */
export interface SwitchRow {
  readonly id: "trip" | "reset" | "dead-band";
  readonly heading: string;
  readonly unit: "°C" | "K";
  readonly row: ResultRow;
}

export interface PassSection {
  readonly pass: Pass;
  readonly short: string;
  readonly heading: string;
  readonly columns: readonly Column[];
  readonly rows: readonly ResultRow[];
  /** For a switch: its rows are quantities of different kinds. */
  readonly switch?: readonly SwitchRow[];
  /** Points without a result, each with the reason, and remarks on points: one sentence each. */
  readonly remarks: readonly string[];
  readonly decision: DecisionText;
}

/** How the points were held: readings, signal, settling. The first column names the pass where there are several. */
export interface Evidence {
  readonly heading: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** One mark of the picture. Temperatures in °C, the rest in K. */
export interface PictureMark {
  readonly pass: Pass;
  readonly temperature: number;
  readonly error: number;
  readonly U: number;
  readonly decision: Decision | "none";
}

/** Limits at a temperature; `acceptance` is null where the guard band leaves no acceptance zone. */
export interface PictureLimit {
  readonly temperature: number;
  readonly lower: number;
  readonly upper: number;
  readonly acceptance: { readonly lower: number; readonly upper: number } | null;
}

export interface Picture {
  readonly heading: string;
  readonly alt: string;
  readonly caption: string;
  /** Decimal sign of the numbers at the axes. */
  readonly sign: "." | ",";
  readonly xLabel: string;
  readonly yLabel: string;
  readonly marks: readonly PictureMark[];
  readonly limits: readonly PictureLimit[];
  readonly guarded: boolean;
  readonly legend: {
    readonly asFound: string | null;
    readonly asLeft: string | null;
    readonly tolerance: string | null;
    readonly guard: string | null;
  };
}

/** The item's points as an equation: coefficients, and what it gives over its range. Numbers as texts, ready to be set. */
export interface FitSection {
  readonly heading: string;
  /** The equation with its source, in words and symbols. */
  readonly equation: string;
  readonly coefficients: readonly {
    readonly symbol: string;
    readonly value: Cell;
    readonly standardUncertainty: Cell;
    readonly unit: string;
  }[];
  readonly columns: {
    readonly coefficient: string;
    readonly value: string;
    readonly uncertainty: string;
    readonly unit: string;
  };
  /** Fit of the points in a sentence or two. */
  readonly quality: string;
  readonly table: {
    readonly heading: string;
    readonly note: string;
    /** Headings of temperature, signal and U, each with its unit. */
    readonly columns: readonly { readonly heading: string; readonly unit: string }[];
    readonly unit: "Ω" | "mV" | "mA" | "°C";
    readonly coverage: string;
    readonly k: string;
    readonly rows: readonly { readonly temperature: Cell; readonly signal: Cell; readonly U: Cell }[];
  };
}

export interface ItemSection {
  readonly item: string;
  readonly tag: string;
  readonly serial: string;
  readonly description: string;
  readonly model: string | null;
  readonly heading: string;
  readonly facts: readonly Fact[];
  readonly picture: Picture | null;
  readonly passes: readonly PassSection[];
  readonly evidence: Evidence;
  /** Null where the procedure asks for no fit, or none could be made (a remark of the pass says why). */
  readonly fit: FitSection | null;
  readonly adjustment: string | null;
  readonly notCalibrated: string;
}

export interface Equipment {
  readonly role: "reference" | "readout" | "source";
  readonly roleText: string;
  readonly id: string;
  readonly description: string;
  readonly model: string | null;
  readonly serial: string;
  readonly certificate: string | null;
  readonly laboratory: string | null;
  readonly date: string | null;
  readonly due: string | null;
}

/** A statement that a clause asks for. */
export interface Statement {
  readonly id:
    | "traceability"
    | "uncertainty"
    | "decision-rule"
    | "global-risk"
    | "deviations"
    | "customer-data"
    | "accreditation"
    | "scope"
    | "reproduction"
    | "stability";
  readonly clause: string;
  readonly heading: string;
  readonly text: string;
}

/** An influence condition with a number, for programs. `value` and `halfWidth` are plain numbers in `unit`. */
export interface Influence {
  readonly id: "ambient-temperature" | "relative-humidity" | "immersion-reference" | "immersion-item";
  readonly name: string;
  readonly unit: "°C" | "%" | "mm";
  readonly value: string;
  readonly halfWidth: string | null;
}

export interface SummaryRow {
  readonly tag: string;
  readonly description: string;
  readonly serial: string;
  readonly outcomes: readonly { readonly heading: string; readonly decision: DecisionText }[];
}

/** One thing that an amendment changes (ISO/IEC 17025:2017, 7.8.8). */
export interface AmendedThing {
  readonly what: string;
  readonly before: string;
  readonly after: string;
}

/** What an amended certificate says of the one that it replaces. */
export interface AmendmentText {
  readonly number: string;
  /** Day of issue of the replaced certificate, year-month-day. */
  readonly date: string;
  readonly reason: string;
  /** SHA-256 of the replaced certificate's XML; null where it had none. */
  readonly sha256: string | null;
  readonly text: string;
  readonly columns: { readonly what: string; readonly before: string; readonly after: string };
  readonly changes: readonly AmendedThing[];
  /** Said where no figure of a result differs. */
  readonly note: string | null;
}

/** The whole certificate: every text, table row and mark decided. Renderers place it; they decide nothing. */
export interface CertificateDocument {
  readonly format: "dwellpoint-certificate/1";
  readonly language: Language;
  readonly title: string;
  readonly number: string;
  /** In a further language: which text holds. Null in the first. */
  readonly translation: string | null;
  readonly amendment: AmendmentText | null;
  /** Plain bands at the top of every page: rehearsal, preview, not fit for issue. */
  readonly bands: readonly string[];
  readonly rehearsal: boolean;
  readonly laboratory: PartyText;
  readonly customer: PartyText;
  readonly place: string;
  /** Days as year-month-day; receipt and the agreed next calibration where there are any. */
  readonly dates: {
    readonly begun: string;
    readonly ended: string;
    readonly issued: string;
    readonly received: string | null;
    readonly due: string | null;
  };
  /** The same days as the language writes them. */
  readonly issuedText: string;
  readonly facts: readonly Fact[];
  readonly summary: readonly SummaryRow[];
  /** What the statement of conformity rests on, in a sentence. */
  readonly summaryNote: string;
  readonly method: { readonly identifier: string; readonly revision: string; readonly title: string };
  readonly items: readonly ItemSection[];
  readonly conditions: readonly Fact[];
  readonly influences: readonly Influence[];
  readonly equipment: readonly Equipment[];
  readonly statements: readonly Statement[];
  readonly people: { readonly technician: string; readonly authorisedBy: string };
  readonly coverage: string;
  readonly rule: { readonly kind: string; readonly name: string };
  readonly record: {
    readonly run: string;
    readonly job: string;
    readonly logHash: string;
    readonly software: { readonly name: string; readonly version: string };
    readonly facts: readonly Fact[];
  };
  readonly labels: Readonly<Record<LabelKey, string>>;
  /** Further words that only programs and labels use, in this language. */
  readonly data: DataWords;
}

export type LabelKey =
  | "number"
  | "laboratory"
  | "customer"
  | "summary"
  | "item"
  | "serial"
  | "results"
  | "conditions"
  | "traceability"
  | "statements"
  | "record"
  | "authorisation"
  | "calibratedBy"
  | "authorisedBy"
  | "signature"
  | "date"
  | "equipment"
  | "certificate"
  | "calibrated"
  | "due"
  | "page"
  | "of"
  | "end"
  | "adjustment"
  | "notCalibrated"
  | "description"
  | "attachment"
  | "amendment"
  | "logo"
  | "changed"
  | "symbol";

/** Something that the check before issue found: the clause and a sentence that says what to do. */
export interface Finding {
  readonly clause: string;
  readonly message: string;
}

export interface IssueCheck {
  /** Any of these forbids issue. */
  readonly stops: readonly Finding[];
  readonly warnings: readonly Finding[];
}

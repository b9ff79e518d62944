/** Languages in which a certificate can be written (ISO 639-1). */
export const languages = ["en", "de", "es", "fr"] as const;
export type Language = (typeof languages)[number];

/** Texts of a job that a person may put right in an amended certificate. Never a figure of a result, and never the kit. */
export const correctedFields = [
  "laboratory.name",
  "laboratory.address",
  "laboratory.contact",
  "customer.name",
  "customer.address",
  "customer.contact",
  "place",
  "title",
  "remarks",
  "item.tag",
  "item.serial",
  "item.description",
  "item.model",
  "item.place",
  "item.condition",
  "item.received",
] as const;

/** A text as it should have stood in the job. An address has one line a line; an empty text takes out what may be left out. */
export interface Correction {
  readonly field: (typeof correctedFields)[number];
  /** Item of the job, for the fields that begin with `item`. */
  readonly item?: string | undefined;
  readonly value: string;
}

/** What a certificate stands on besides its log: enough to write it again, word for word. */
export interface CertificateTerms {
  /** The first holds where they differ; English alone where nothing is said. */
  readonly languages?: readonly Language[] | undefined;
  readonly corrections?: readonly Correction[] | undefined;
  /** An interval to the next calibration that the customer agreed to after the job was written. */
  readonly interval?: { readonly due: string; readonly agreedWith: string } | undefined;
  /** Leaves the job's remarks off the paper, where they say what must not stand on it. */
  readonly withoutRemarks?: boolean | undefined;
}

/** The certificate that is replaced, and why (ISO/IEC 17025:2017, 7.8.8). */
export interface Amends {
  readonly number: string;
  /** Day of issue of the replaced certificate, year-month-day. */
  readonly date: string;
  readonly reason: string;
  /** SHA-256 of its XML. */
  readonly sha256?: string | undefined;
  /** What it stood on. */
  readonly terms?: CertificateTerms | undefined;
  readonly authorisedBy?: string | undefined;
  /** Figures that another evaluation of the log has changed. */
  readonly figures?: readonly { readonly what: string; readonly before: string; readonly after: string }[] | undefined;
}

/** What became of a certificate after it was issued; its pages then say so. */
export type Fate =
  | { readonly kind: "withdrawn"; readonly date: string; readonly reason: string }
  | { readonly kind: "replaced"; readonly date: string; readonly number: string };

/** What the person who issues adds to the log. */
export interface IssueData extends CertificateTerms {
  /** Number of the certificate; the job's own certificate number, or the job's number, where it is left out. */
  readonly number?: string | undefined;
  /** Day of issue, year-month-day. */
  readonly date: string;
  /** Who authorises; the job's `authorisedBy` where it is left out. */
  readonly authorisedBy?: string | undefined;
  /** A preview carries a band that says that it is not issued. */
  readonly preview?: boolean | undefined;
  readonly amends?: Amends | undefined;
  readonly fate?: Fate | undefined;
}

/** The languages of a certificate, each once; English where none is given. */
export const languagesOf = ({
  languages: wanted,
}: Pick<IssueData, "languages">): readonly [Language, ...Language[]] => {
  const [first = "en", ...rest] = [...new Set(wanted ?? [])];
  return [first, ...rest];
};

import { failure, success, type Outcome } from "#fault";
import type { Brought, BroughtCalibration, BroughtIdentity, BroughtPoint } from "../brought.ts";
import { hasType, wordsAt } from "./names.ts";
import { celsiusOf, readQuantity } from "./quantity.ts";
import { readResults } from "./results.ts";
import { readXml, textAt, under, within, type Element } from "./safe-xml.ts";
import { statedUncertainty } from "./stated-uncertainty.ts";

const root = "dcc:digitalCalibrationCertificate";
const mostItems = 50;

const day = (text: string | null): string | null =>
  text !== null && /^\d{4}-\d{2}-\d{2}/.test(text) ? text.slice(0, 10) : null;

const issuers: Readonly<Record<string, string>> = {
  manufacturer: "maker",
  calibrationLaboratory: "laboratory",
  customer: "customer",
  owner: "owner",
  other: "other",
};

const identityOf = (item: Element): BroughtIdentity => {
  const numbers = under(item, "dcc:identifications", "dcc:identification").map((entry) => ({
    issuer: textAt(entry, "dcc:issuer") ?? "other",
    value: textAt(entry, "dcc:value"),
    label: wordsAt(entry, "dcc:name"),
  }));
  const fromMaker = numbers.filter(({ issuer, value }) => issuer === "manufacturer" && value !== null);
  const serial = fromMaker.find(({ label }) => /seri/i.test(label ?? "")) ?? fromMaker[0] ?? null;
  return {
    serial: serial?.value ?? null,
    manufacturer: wordsAt(item, "dcc:manufacturer", "dcc:name"),
    model: textAt(item, "dcc:model"),
    description: wordsAt(item, "dcc:name"),
    dataSheet: null,
    further: numbers.flatMap((entry) =>
      entry === serial || entry.value === null
        ? []
        : [{ label: `${entry.label ?? "Number"} (${issuers[entry.issuer] ?? entry.issuer})`, value: entry.value }],
    ),
  };
};

const limitOf = (administrative: Element, type: string): number | null => {
  const element = within(administrative, "dcc:quantity").find((quantity) => hasType(quantity, type));
  const quantity = element === undefined ? null : readQuantity(element);
  return (quantity === null ? null : celsiusOf(quantity)?.[0]?.value) ?? null;
};

const rangeOf = (
  administrative: Element,
  points: readonly BroughtPoint[],
): { range: Brought["range"]; notes: string[] } => {
  const [minimum, maximum] = [
    limitOf(administrative, "basic_validityRangeMin"),
    limitOf(administrative, "basic_validityRangeMax"),
  ];
  if (minimum !== null && maximum !== null && minimum < maximum) return { range: { minimum, maximum }, notes: [] };
  const temperatures = points.map(({ temperature }) => temperature);
  if (temperatures.length < 2) return { range: null, notes: [] };
  return {
    range: { minimum: Math.min(...temperatures), maximum: Math.max(...temperatures) },
    notes: ["The certificate states no range of validity; the range of its points is taken."],
  };
};

const calibrationOf = (document: Element): Omit<BroughtCalibration, "uncertainty" | "k"> => {
  const core = ["dcc:administrativeData", "dcc:coreData"] as const;
  const recalibration = within(document, "dcc:statement").find((statement) =>
    hasType(statement, "basic_recalibration"),
  );
  return {
    certificate: textAt(document, ...core, "dcc:uniqueIdentifier"),
    laboratory: wordsAt(document, "dcc:administrativeData", "dcc:calibrationLaboratory", "dcc:contact", "dcc:name"),
    date: day(textAt(document, ...core, "dcc:endPerformanceDate") ?? textAt(document, ...core, "dcc:issueDate")),
    due: day(recalibration === undefined ? null : textAt(recalibration, "dcc:date")),
  };
};

/** The results that belong to an item: those that name it, or all where the certificate has one item. */
const resultsFor = (document: Element, item: Element, only: boolean): readonly Element[] =>
  under(document, "dcc:measurementResults", "dcc:measurementResult")
    .filter(
      ({ attributes }) => only || (attributes["refId"] ?? "").split(/\s+/).includes(item.attributes["id"] ?? "\u0000"),
    )
    .flatMap((result) => under(result, "dcc:results", "dcc:result"));

const broughtBy = (document: Element, item: Element, only: boolean, version: string): Brought => {
  const identity = identityOf(item);
  const itemWords = [identity.description ?? "", ...within(item, "dcc:content").map(({ text }) => text)].join(" · ");
  const results = readResults(resultsFor(document, item, only), itemWords);
  const { range, notes } = rangeOf(under(document, "dcc:administrativeData")[0]!, results.points);
  const stated = statedUncertainty(results.points, results.sensor);
  const unit = results.points[0]?.unit ?? null;
  const sensor = results.sensor ?? (unit === "°C" ? ({ kind: "indication" } as const) : null);
  return {
    form: "certificate",
    source: `Digital Calibration Certificate ${version}`,
    identity,
    calibration: { ...calibrationOf(document), uncertainty: stated.uncertainty, k: stated.k },
    sensor,
    unit: results.sensor === null ? unit : results.sensor.kind === "thermocouple" ? "mV" : "Ω",
    range,
    checkValues: results.checkValues,
    points: results.points,
    tables: results.tables,
    entry: null,
    notes: [...results.notes, ...notes, ...stated.notes],
  };
};

/**
 * Reads a Digital Calibration Certificate of version 3 (Physikalisch-Technische Bundesanstalt), values in D-SI: for each item
 * who it is, who calibrated it and when, until when, its points and, where they are recognised, its coefficients. What is
 * not understood is left out and said in `notes`; nothing is guessed. The file is read as from a stranger, see `readXml`;
 * it is not validated against the schema.
 */
export const readCertificate = (bytes: Uint8Array): Outcome<readonly Brought[]> => {
  const document = readXml(bytes);
  if (!document.ok) return document;
  if (document.value.name !== root)
    return failure(
      "identity.unreadable",
      `The XML begins with <${document.value.name}>; a Digital Calibration Certificate begins with <${root}> in the namespace https://ptb.de/dcc.`,
    );
  const version = document.value.attributes["schemaVersion"] ?? "";
  if (!version.startsWith("3."))
    return failure(
      "identity.unreadable",
      `The certificate is written in version ${version === "" ? "(none stated)" : version} of the format; version 3 is read.`,
    );
  const items = under(document.value, "dcc:administrativeData", "dcc:items", "dcc:item");
  if (items.length === 0 || items.length > mostItems)
    return failure(
      "identity.unreadable",
      `The certificate names ${items.length} items; from 1 to ${mostItems} are read.`,
    );
  return success(items.map((item) => broughtBy(document.value, item, items.length === 1, version)));
};

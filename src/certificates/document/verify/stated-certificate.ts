import { failure, success, type Outcome } from "#fault";
import { childrenOf, descendants, elementAt, textOf, type XmlElement } from "./xml-tree.ts";

/** A list of numbers in the XML, as it is written, by the name that the certificate's own rows have. */
export interface StatedList {
  readonly name: string;
  readonly values: readonly string[];
}

export interface StatedResult {
  readonly item: number;
  /** As found, as left, or the item's equation. */
  readonly kind: "as-found" | "as-left" | "equation" | "other";
  readonly lists: readonly StatedList[];
}

/** What a certificate's XML states. Every text as it is written; missing ones empty. */
export interface StatedCertificate {
  readonly number: string;
  readonly run: string;
  readonly job: string;
  readonly logHash: string;
  readonly issued: string;
  readonly begun: string;
  readonly ended: string;
  readonly laboratory: string;
  readonly customer: string;
  readonly authorisedBy: string;
  readonly software: string;
  readonly languages: readonly string[];
  readonly replaces: { readonly number: string; readonly sha256: string } | null;
  readonly items: readonly { readonly item: string; readonly tag: string; readonly serial: string }[];
  readonly results: readonly StatedResult[];
}

const identifications = (element: XmlElement | undefined) =>
  childrenOf(elementAt(element, "dcc:identifications"), "dcc:identification").map((entry) => ({
    issuer: textOf(elementAt(entry, "dcc:issuer")),
    value: textOf(elementAt(entry, "dcc:value")),
    names: childrenOf(elementAt(entry, "dcc:name"), "dcc:content").map(textOf),
  }));

const numbers = (element: XmlElement | undefined): readonly string[] =>
  textOf(element)
    .split(/\s+/)
    .filter((value) => value !== "");

/** The lists of one quantity: its values in each unit, and its uncertainty. */
const listsOf = (name: string, quantity: XmlElement | undefined): StatedList[] => {
  const hybrid = elementAt(quantity, "si:hybrid");
  const plain = childrenOf(hybrid ?? quantity, "si:realListXMLList");
  const real = elementAt(quantity, "si:real", "si:value");
  return [
    ...(real === undefined ? [] : [{ name, values: numbers(real) }]),
    ...plain.flatMap((list) => {
      const kelvin = hybrid !== undefined && textOf(elementAt(list, "si:unitXMLList")) === "\\kelvin";
      const expanded = elementAt(list, "si:measurementUncertaintyUnivariateXMLList", "si:expandedMUXMLList");
      return [
        { name: kelvin ? `${name} in kelvin` : name, values: numbers(elementAt(list, "si:valueXMLList")) },
        ...(expanded === undefined
          ? []
          : [
              { name: `U of ${name}`, values: numbers(elementAt(expanded, "si:valueExpandedMUXMLList")) },
              { name: `k of ${name}`, values: numbers(elementAt(expanded, "si:coverageFactorXMLList")) },
            ]),
      ];
    }),
  ];
};

const quantityNames: readonly (readonly [string, string])[] = [
  ["dwellpoint_tripTemperature", "trip"],
  ["dwellpoint_resetTemperature", "reset"],
  ["dwellpoint_deadBand", "dead band"],
  ["basic_referenceValue", "reference"],
  ["basic_measuredValue", "indication"],
  ["basic_measurementError", "error"],
  ["basic_nominalValue", "agreed temperature"],
  ["basic_acceptanceLimitLower", "lower acceptance limit"],
  ["basic_acceptanceLimitUpper", "upper acceptance limit"],
  ["dwellpoint_toleranceLimitLower", "lower limit of tolerance"],
  ["dwellpoint_toleranceLimitUpper", "upper limit of tolerance"],
  ["dwellpoint_coefficient", "coefficient"],
  ["dwellpoint_temperature", "temperature"],
  ["dwellpoint_signal", "signal"],
  ["dwellpoint_expandedUncertainty", "U"],
];

const nameOf = (quantity: XmlElement): string => {
  const types = (quantity.attributes.get("refType") ?? "").split(/\s+/);
  return quantityNames.find(([type]) => types.includes(type))?.[1] ?? "quantity";
};

/** A quantity with what stands in its meta data: calibration points, decisions, limits. */
const quantityLists = (quantity: XmlElement, prefix: string): StatedList[] => {
  const name = `${prefix}${nameOf(quantity)}`;
  const meta = childrenOf(elementAt(quantity, "dcc:measurementMetaData"), "dcc:metaData").flatMap((data) => {
    const inner = childrenOf(elementAt(data, "dcc:data"), "dcc:quantity");
    if (data.attributes.get("refType") === "basic_calibrationValue")
      return inner.flatMap((each) => listsOf(`${prefix}point`, each));
    return [
      { name: `${prefix}decision`, values: numbers(elementAt(data, "dcc:conformityXMLList")) },
      ...inner.flatMap((each) => listsOf(`${prefix}${nameOf(each)}`, each)),
    ];
  });
  return [...listsOf(name, quantity), ...meta];
};

const kindOf = (refType: string): StatedResult["kind"] => {
  if (refType.includes("dwellpoint_asFound")) return "as-found";
  if (refType.includes("dwellpoint_asLeft")) return "as-left";
  return refType.includes("dwellpoint_equation") ? "equation" : "other";
};

const resultsOf = (root: XmlElement): StatedResult[] =>
  childrenOf(elementAt(root, "dcc:measurementResults"), "dcc:measurementResult").flatMap((measured, item) =>
    childrenOf(elementAt(measured, "dcc:results"), "dcc:result").map((result) => {
      const lists = childrenOf(elementAt(result, "dcc:data"), "dcc:list");
      return {
        item,
        kind: kindOf(result.attributes.get("refType") ?? ""),
        lists: lists.flatMap((list, index) => {
          const prefix = list.attributes.get("refType") === "dwellpoint_switchAction" ? `action ${index + 1}, ` : "";
          return childrenOf(list, "dcc:quantity").flatMap((quantity) => quantityLists(quantity, prefix));
        }),
      };
    }),
  );

const isHash = (text: string): boolean => /^[0-9a-f]{64}$/.test(text);

/** What a certificate's XML states, taken out of its tree; a failure where it is none of ours. */
export const statedCertificate = (root: XmlElement): Outcome<StatedCertificate> => {
  if (root.name !== "dcc:digitalCalibrationCertificate")
    return failure("input.invalid", "This XML is not a Digital Calibration Certificate.");
  const administrative = elementAt(root, "dcc:administrativeData");
  const core = elementAt(administrative, "dcc:coreData");
  const named = identifications(core);
  const logHash = named.find(({ issuer, value }) => issuer === "other" && isHash(value))?.value ?? "";
  const byName = (name: string): string => named.find(({ names }) => names.includes(name))?.value ?? "";
  const replaced = textOf(elementAt(core, "dcc:reportAmendedSubstituted", "dcc:replacedUniqueIdentifier"));
  const software = elementAt(administrative, "dcc:dccSoftware", "dcc:software");
  if (logHash === "")
    return failure("input.invalid", "This certificate does not name the hash of a run log, so it was not made here.");
  return success({
    number: textOf(elementAt(core, "dcc:uniqueIdentifier")),
    run: byName("Run"),
    job: byName("Job"),
    logHash,
    issued: textOf(elementAt(core, "dcc:issueDate")),
    begun: textOf(elementAt(core, "dcc:beginPerformanceDate")),
    ended: textOf(elementAt(core, "dcc:endPerformanceDate")),
    laboratory: textOf(elementAt(administrative, "dcc:calibrationLaboratory", "dcc:contact", "dcc:name")),
    customer: textOf(elementAt(administrative, "dcc:customer", "dcc:name")),
    authorisedBy: textOf(
      elementAt(
        descendants(administrative, "dcc:respPerson").find(
          (person) => elementAt(person, "dcc:mainSigner") !== undefined,
        ),
        "dcc:person",
        "dcc:name",
      ),
    ),
    software: `${textOf(elementAt(software, "dcc:name"))} ${textOf(elementAt(software, "dcc:release"))}`,
    languages: childrenOf(core, "dcc:usedLangCodeISO639_1").map(textOf),
    replaces:
      replaced === "" ? null : { number: replaced, sha256: textOf(elementAt(core, "dcc:previousReport", "dcc:value")) },
    items: childrenOf(elementAt(administrative, "dcc:items"), "dcc:item").map((item) => {
      const own = identifications(item);
      const from = (issuer: string): string => own.find((entry) => entry.issuer === issuer)?.value ?? "";
      return { item: from("calibrationLaboratory"), tag: from("customer"), serial: from("manufacturer") };
    }),
    results: resultsOf(root),
  });
};

import type { XMLBuilder } from "xmlbuilder2/lib/interfaces.js";
import type {
  CertificateDocument,
  FitSection,
  Influence,
  PassSection,
  ResultRow,
  SwitchRow,
} from "../document/model.ts";
import { addContents, addText, type Documents, type TextOf, type Writer, xmlText } from "./dcc-text.ts";
import { kelvinText } from "../document/kelvin-text.ts";

const kelvin = "\\kelvin";
const celsius = "\\degreecelsius";

const valueList = (parent: XMLBuilder, values: readonly string[], unit: string): XMLBuilder => {
  const list = parent.ele("si:realListXMLList");
  list.ele("si:valueXMLList").txt(values.join(" "));
  list.ele("si:unitXMLList").txt(unit);
  return list;
};

/** Temperatures in both units, as the good-practice examples of the DCC give them. */
const temperatureList = (parent: XMLBuilder, values: readonly string[]): void => {
  const hybrid = parent.ele("si:hybrid");
  valueList(hybrid, values.map(kelvinText), kelvin);
  valueList(hybrid, values, celsius);
};

const methods: Writer = (parent, documents) => {
  const [first] = documents;
  const list = parent.ele("dcc:usedMethods");
  const uncertainty = first.statements.findIndex(({ id }) => id === "uncertainty");
  const entry = list.ele("dcc:usedMethod", { refType: "basic_uncertainty" });
  addText(entry, "dcc:name", documents, (document) => document.statements[uncertainty]!.heading);
  addText(entry, "dcc:description", documents, (document) => document.statements[uncertainty]!.text);
  entry.ele("dcc:norm").txt("JCGM 100:2008");
  const method = list.ele("dcc:usedMethod", { refType: "gp_temperatureSensor" });
  addText(method, "dcc:name", documents, (document) => document.method.title);
  const description = method.ele("dcc:description");
  for (const [index] of first.conditions.entries()) {
    addContents(description, documents, ({ conditions }) => `${conditions[index]!.label}: ${conditions[index]!.text}`);
  }
  method.ele("dcc:reference").txt(xmlText(`${first.method.identifier}, revision ${first.method.revision}`));
};

const equipmentNotes = ({ equipment, data }: CertificateDocument, index: number): string[] => {
  const { certificate, date, laboratory, due } = equipment[index]!;
  if (certificate === null) return date === null ? [] : [data.characterised(date)];
  return [
    data.certificateOf(certificate, date ?? data.unknown, laboratory ?? data.unknown),
    ...(due === null ? [] : [data.validUntil(due)]),
  ];
};

const equipment = (parent: XMLBuilder, documents: Documents, index: number): void => {
  const entry = documents[0].equipment[index]!;
  const element = parent.ele("dcc:measuringEquipment", { refType: "basic_normalUsed" });
  addText(element, "dcc:name", documents, (document) => {
    const { roleText, description } = document.equipment[index]!;
    return `${roleText}: ${description}`;
  });
  const notes = equipmentNotes(documents[0], index);
  if (notes.length > 0) {
    const description = element.ele("dcc:description");
    for (const [at] of notes.entries())
      addContents(description, documents, (document) => equipmentNotes(document, index)[at]!);
  }
  if (entry.model !== null) element.ele("dcc:model").txt(xmlText(entry.model));
  const identifications = element.ele("dcc:identifications");
  const identify = (issuer: string, value: string, name: TextOf): void => {
    const identification = identifications.ele("dcc:identification");
    identification.ele("dcc:issuer").txt(issuer);
    identification.ele("dcc:value").txt(xmlText(value));
    addText(identification, "dcc:name", documents, name);
  };
  identify("manufacturer", entry.serial, ({ data }) => data.serial);
  identify("calibrationLaboratory", entry.id, ({ data }) => data.equipment);
  if (entry.certificate !== null) identify("other", entry.certificate, ({ data }) => data.certificate);
};

const influenceTypes: Readonly<Record<Influence["id"], string>> = {
  "ambient-temperature": "basic_temperature",
  "relative-humidity": "basic_humidityRelative",
  "immersion-reference": "gp_immersionDepth",
  "immersion-item": "gp_immersionDepth",
};

/** The unit as D-SI writes it; the number stays as it is. */
const influenceUnits: Readonly<Record<Influence["unit"], string>> = {
  "°C": celsius,
  "%": "\\percent",
  mm: "\\milli\\metre",
};

const influence = (parent: XMLBuilder, documents: Documents, index: number): void => {
  const entry = documents[0].influences[index]!;
  const name: TextOf = (document) => document.influences[index]!.name;
  const element = parent.ele("dcc:influenceCondition", { refType: influenceTypes[entry.id] });
  addText(element, "dcc:name", documents, name);
  if (entry.halfWidth !== null) {
    const width = `${entry.halfWidth} ${entry.unit}`;
    addText(element, "dcc:description", documents, ({ data }) => data.within(width));
  }
  const quantity = element.ele("dcc:data").ele("dcc:quantity");
  addText(quantity, "dcc:name", documents, name);
  const real = quantity.ele("si:real");
  real.ele("si:value").txt(entry.value);
  real.ele("si:unit").txt(influenceUnits[entry.unit]);
};

const quantity = (parent: XMLBuilder, refType: string, documents: Documents, name: TextOf): XMLBuilder => {
  const element = parent.ele("dcc:quantity", { refType });
  addText(element, "dcc:name", documents, name);
  return element;
};

const conformityWords = {
  pass: "pass",
  "conditional-pass": "conditionalPass",
  undecided: "noPass",
  "conditional-fail": "conditionalFail",
  fail: "fail",
  none: "noPass",
} as const;

/** Limits that do not exist are written NaN, which D-SI allows, so that every list keeps one entry a point. */
const limitOf = (row: ResultRow, side: "lower" | "upper"): string =>
  (row.acceptanceLimits ?? (row.decision.kind === "undecided" ? null : row.limits))?.[side] ?? "NaN";

const conformity = (parent: XMLBuilder, rows: readonly ResultRow[], documents: Documents): void => {
  if (rows.every(({ decision }) => decision.kind === "none")) return;
  const metaData = parent.ele("dcc:measurementMetaData").ele("dcc:metaData", { refType: "basic_conformity" });
  addText(metaData, "dcc:name", documents, ({ data }) => data.conformity);
  addText(metaData, "dcc:declaration", documents, ({ data, rule }) => data.conformityNote(rule.name));
  metaData.ele("dcc:conformityXMLList").txt(rows.map(({ decision }) => conformityWords[decision.kind]).join(" "));
  const data = metaData.ele("dcc:data");
  const list = (side: "lower" | "upper", refType: string, name: TextOf, value: (row: ResultRow) => string): void => {
    const refName = `${refType}${side === "lower" ? "Lower" : "Upper"}`;
    valueList(quantity(data, refName, documents, name), rows.map(value), kelvin);
  };
  for (const side of ["lower", "upper"] as const)
    list(
      side,
      "basic_acceptanceLimit",
      (document) => document.data.acceptance[side],
      (row) => limitOf(row, side),
    );
  for (const side of ["lower", "upper"] as const)
    list(
      side,
      "dwellpoint_toleranceLimit",
      (document) => document.data.tolerance[side],
      (row) => row.limits?.[side] ?? "NaN",
    );
};

const errorList = (parent: XMLBuilder, rows: readonly ResultRow[], coverage: string): void =>
  uncertainList(
    parent,
    rows.map((row) => row.error.plain),
    kelvin,
    rows,
    coverage,
  );

/** Values with the expanded uncertainties of their rows, in the same unit. */
const uncertainList = (
  parent: XMLBuilder,
  values: readonly string[],
  unit: string,
  rows: readonly ResultRow[],
  coverage: string,
): void => {
  const list = valueList(parent, values, unit);
  const expanded = list.ele("si:measurementUncertaintyUnivariateXMLList").ele("si:expandedMUXMLList");
  expanded.ele("si:valueExpandedMUXMLList").txt(rows.map((row) => row.U.plain).join(" "));
  expanded.ele("si:coverageFactorXMLList").txt(rows.map((row) => row.k.plain).join(" "));
  expanded.ele("si:coverageProbabilityXMLList").txt(coverage);
};

const switchTypes: Readonly<Record<SwitchRow["id"], string>> = {
  trip: "dwellpoint_tripTemperature",
  reset: "dwellpoint_resetTemperature",
  "dead-band": "dwellpoint_deadBand",
};

/** Trip, reset and dead band of a switch: each a quantity of its own, with the agreed temperature and the deviation where there is one. */
const switchQuantities = (
  data: XMLBuilder,
  rows: readonly SwitchRow[],
  documents: Documents,
  place: PassPlace,
): void => {
  const { coverage } = documents[0];
  for (const [index, { id, unit, row }] of rows.entries()) {
    const heading: TextOf = (document) => passAt(document, place).switch![index]!.heading;
    const list = data.ele("dcc:list", { refType: "dwellpoint_switchAction" });
    addText(list, "dcc:name", documents, heading);
    const value = quantity(list, `basic_measuredValue ${switchTypes[id]}`, documents, heading);
    uncertainList(value, [row.measured!.plain], unit === "K" ? kelvin : celsius, [row], coverage);
    if (row.nominal.plain !== "") {
      const agreed = quantity(list, "basic_nominalValue", documents, (document) => document.data.agreedTemperature);
      valueList(agreed, [row.nominal.plain], celsius);
    }
    if (row.error.plain === "") {
      conformity(value, [row], documents);
      continue;
    }
    const deviation = quantity(list, "basic_measurementError", documents, (document) => document.data.agreedDeviation);
    errorList(deviation, [row], coverage);
    conformity(deviation, [row], documents);
  }
};

/** Which pass of which item: the same place in the document of every language. */
interface PassPlace {
  readonly item: number;
  readonly pass: number;
}

const passAt = (document: CertificateDocument, { item, pass }: PassPlace): PassSection =>
  document.items[item]!.passes[pass]!;

const pointQuantities = (data: XMLBuilder, { rows }: PassSection, documents: Documents): void => {
  const list = data.ele("dcc:list", { refType: "gp_table1" });
  const reference = quantity(list, "basic_referenceValue", documents, (document) => document.data.reference);
  temperatureList(
    reference,
    rows.map((row) => row.reference.plain),
  );
  const nominal = reference.ele("dcc:measurementMetaData").ele("dcc:metaData", { refType: "basic_calibrationValue" });
  addText(nominal, "dcc:declaration", documents, (document) => document.data.calibrationPoint);
  temperatureList(
    nominal.ele("dcc:data").ele("dcc:quantity"),
    rows.map((row) => row.nominal.plain),
  );
  temperatureList(
    quantity(list, "basic_measuredValue", documents, (document) => document.data.indication),
    rows.map((row) => row.indication.plain),
  );
  const error = quantity(list, "basic_measurementError", documents, (document) => document.data.error);
  errorList(error, rows, documents[0].coverage);
  conformity(error, rows, documents);
};

const passResult = (parent: XMLBuilder, documents: Documents, place: PassPlace): void => {
  const pass = passAt(documents[0], place);
  const result = parent.ele("dcc:result", {
    refType:
      pass.pass === "as-found" ? "gp_measuringResult1 dwellpoint_asFound" : "gp_measuringResult1 dwellpoint_asLeft",
  });
  addText(result, "dcc:name", documents, (document) => passAt(document, place).heading);
  if (pass.remarks.length > 0) {
    const description = result.ele("dcc:description");
    for (const [index] of pass.remarks.entries())
      addContents(description, documents, (document) => passAt(document, place).remarks[index]!);
  }
  const data = result.ele("dcc:data");
  if (pass.rows.length === 0) addText(data, "dcc:text", documents, (document) => document.data.nothing);
  else if (pass.switch !== undefined) switchQuantities(data, pass.switch, documents, place);
  else pointQuantities(data, pass, documents);
};

/** Units of a fitted item's table in D-SI. */
const signalUnits: Readonly<Record<FitSection["table"]["unit"], string>> = {
  Ω: "\\ohm",
  mV: "\\milli\\volt",
  mA: "\\milli\\ampere",
  "°C": celsius,
};

/** The item's equation: coefficients as values without D-SI unit (their unit is in the name), and the table. */
const fitResult = (parent: XMLBuilder, documents: Documents, item: number): void => {
  const fitOf = (document: CertificateDocument): FitSection => document.items[item]!.fit!;
  const fit = fitOf(documents[0]);
  const result = parent.ele("dcc:result", { refType: "dwellpoint_equation" });
  addText(result, "dcc:name", documents, (document) => fitOf(document).heading);
  const description = result.ele("dcc:description");
  for (const words of [
    (each: FitSection) => each.equation,
    (each: FitSection) => each.quality,
    (each: FitSection) => each.table.note,
  ])
    addContents(description, documents, (document) => words(fitOf(document)));
  const data = result.ele("dcc:data");
  const coefficients = data.ele("dcc:list", { refType: "dwellpoint_coefficients" });
  for (const [index, { value, standardUncertainty, unit }] of fit.coefficients.entries()) {
    const entry = quantity(coefficients, "dwellpoint_coefficient", documents, (document) => {
      const { symbol } = fitOf(document).coefficients[index]!;
      return unit === "" ? symbol : document.data.inUnit(symbol, unit);
    });
    addText(
      entry,
      "dcc:description",
      documents,
      (document) => `${fitOf(document).columns.uncertainty}: ${standardUncertainty.plain}`,
    );
    const real = entry.ele("si:real");
    real.ele("si:value").txt(value.plain);
    real.ele("si:unit").txt("\\one");
  }
  const { rows, unit, k, coverage } = fit.table;
  const list = data.ele("dcc:list", { refType: "gp_table2" });
  const heading =
    (column: number): TextOf =>
    (document) =>
      fitOf(document).table.columns[column]!.heading;
  temperatureList(
    quantity(list, "dwellpoint_temperature", documents, heading(0)),
    rows.map(({ temperature }) => temperature.plain),
  );
  valueList(
    quantity(list, "dwellpoint_signal", documents, heading(1)),
    rows.map(({ signal }) => signal.plain),
    signalUnits[unit],
  );
  const ofCurve = quantity(list, "dwellpoint_expandedUncertainty", documents, heading(2));
  addText(ofCurve, "dcc:description", documents, (document) => document.data.coverage(k, coverage));
  valueList(
    ofCurve,
    rows.map(({ U }) => U.plain),
    kelvin,
  );
};

/** The measurement results: for each item its methods, equipment, conditions, and a list of quantities for each pass. */
export const writeResults: Writer = (parent, documents) => {
  const [first] = documents;
  for (const [index, item] of first.items.entries()) {
    const element = parent.ele("dcc:measurementResult", { refId: `item-${index + 1}` });
    addText(element, "dcc:name", documents, (document) => document.items[index]!.heading);
    if (item.adjustment !== null)
      addText(element, "dcc:description", documents, (document) => document.items[index]!.adjustment ?? "");
    methods(element, documents);
    const equipments = element.ele("dcc:measuringEquipments");
    for (const [at] of first.equipment.entries()) equipment(equipments, documents, at);
    const influences = element.ele("dcc:influenceConditions");
    for (const [at] of first.influences.entries()) influence(influences, documents, at);
    const results = element.ele("dcc:results");
    for (const [pass] of item.passes.entries()) passResult(results, documents, { item: index, pass });
    if (item.fit !== null) fitResult(results, documents, index);
  }
};

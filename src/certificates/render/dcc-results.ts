import type { XMLBuilder } from "xmlbuilder2/lib/interfaces.js";
import type {
  Equipment,
  FitSection,
  Influence,
  ItemSection,
  PassSection,
  ResultRow,
  SwitchRow,
} from "../document/model.ts";
import { addText, type Writer, xmlText } from "./dcc-text.ts";
import { kelvinText } from "./kelvin-text.ts";

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

const methods: Writer = (parent, document) => {
  const list = parent.ele("dcc:usedMethods");
  const uncertainty = document.statements.find(({ id }) => id === "uncertainty");
  if (uncertainty !== undefined) {
    const entry = list.ele("dcc:usedMethod", { refType: "basic_uncertainty" });
    addText(entry, "dcc:name", uncertainty.heading);
    addText(entry, "dcc:description", uncertainty.text);
    entry.ele("dcc:norm").txt("JCGM 100:2008");
  }
  const method = list.ele("dcc:usedMethod", { refType: "gp_temperatureSensor" });
  addText(method, "dcc:name", document.method.title);
  const description = method.ele("dcc:description");
  for (const { label, text } of document.conditions) {
    description.ele("dcc:content", { lang: "en" }).txt(xmlText(`${label}: ${text}`));
  }
  method.ele("dcc:reference").txt(xmlText(`${document.method.identifier}, revision ${document.method.revision}`));
};

const equipment = (parent: XMLBuilder, entry: Equipment): void => {
  const element = parent.ele("dcc:measuringEquipment", { refType: "basic_normalUsed" });
  addText(element, "dcc:name", `${entry.roleText}: ${entry.description}`);
  const notes = [
    entry.certificate === null
      ? null
      : `Certificate ${entry.certificate} of ${entry.date ?? "unknown date"}, ${entry.laboratory ?? "unknown laboratory"}`,
    entry.due === null ? null : `Valid until ${entry.due}`,
    entry.certificate === null && entry.date !== null ? `Characterised ${entry.date}` : null,
  ].filter((note) => note !== null);
  if (notes.length > 0) {
    const description = element.ele("dcc:description");
    for (const note of notes) description.ele("dcc:content", { lang: "en" }).txt(xmlText(note));
  }
  if (entry.model !== null) element.ele("dcc:model").txt(xmlText(entry.model));
  const identifications = element.ele("dcc:identifications");
  const identify = (issuer: string, value: string, name: string): void => {
    const identification = identifications.ele("dcc:identification");
    identification.ele("dcc:issuer").txt(issuer);
    identification.ele("dcc:value").txt(xmlText(value));
    addText(identification, "dcc:name", name);
  };
  identify("manufacturer", entry.serial, "Serial number");
  identify("calibrationLaboratory", entry.id, "Equipment");
  if (entry.certificate !== null) identify("other", entry.certificate, "Certificate of its calibration");
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

const influence = (parent: XMLBuilder, entry: Influence): void => {
  const element = parent.ele("dcc:influenceCondition", { refType: influenceTypes[entry.id] });
  addText(element, "dcc:name", entry.name);
  if (entry.halfWidth !== null) {
    addText(element, "dcc:description", `within ±${entry.halfWidth} ${entry.unit} of the value`);
  }
  const quantity = element.ele("dcc:data").ele("dcc:quantity");
  addText(quantity, "dcc:name", entry.name);
  const real = quantity.ele("si:real");
  real.ele("si:value").txt(entry.value);
  real.ele("si:unit").txt(influenceUnits[entry.unit]);
};

const quantity = (parent: XMLBuilder, refType: string, name: string): XMLBuilder => {
  const element = parent.ele("dcc:quantity", { refType });
  addText(element, "dcc:name", name);
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

const conformity = (parent: XMLBuilder, rows: readonly ResultRow[], ruleName: string): void => {
  if (rows.every(({ decision }) => decision.kind === "none")) return;
  const metaData = parent.ele("dcc:measurementMetaData").ele("dcc:metaData", { refType: "basic_conformity" });
  addText(metaData, "dcc:name", "Conformity");
  addText(
    metaData,
    "dcc:declaration",
    `Decision rule: ${ruleName}. noPass stands for a point without a statement of conformity; limits that do not exist are NaN.`,
  );
  metaData.ele("dcc:conformityXMLList").txt(rows.map(({ decision }) => conformityWords[decision.kind]).join(" "));
  const data = metaData.ele("dcc:data");
  for (const [side, name] of [
    ["lower", "Lower"],
    ["upper", "Upper"],
  ] as const) {
    valueList(
      quantity(data, `basic_acceptanceLimit${name}`, `${name} acceptance limit`),
      rows.map((row) => limitOf(row, side)),
      kelvin,
    );
  }
  for (const [side, name] of [
    ["lower", "Lower"],
    ["upper", "Upper"],
  ] as const) {
    valueList(
      quantity(data, `dwellpoint_toleranceLimit${name}`, `${name} limit of the tolerance`),
      rows.map((row) => row.limits?.[side] ?? "NaN"),
      kelvin,
    );
  }
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
const switchQuantities = (data: XMLBuilder, rows: readonly SwitchRow[], coverage: string, ruleName: string): void => {
  for (const { id, heading, unit, row } of rows) {
    const list = data.ele("dcc:list", { refType: "dwellpoint_switchAction" });
    addText(list, "dcc:name", heading);
    const value = quantity(list, `basic_measuredValue ${switchTypes[id]}`, heading);
    uncertainList(value, [row.measured!.plain], unit === "K" ? kelvin : celsius, [row], coverage);
    if (row.nominal.plain !== "") {
      const agreed = quantity(list, "basic_nominalValue", "Agreed temperature");
      valueList(agreed, [row.nominal.plain], celsius);
    }
    if (row.error.plain === "") {
      conformity(value, [row], ruleName);
      continue;
    }
    const deviation = quantity(list, "basic_measurementError", "Deviation from the agreed temperature");
    errorList(deviation, [row], coverage);
    conformity(deviation, [row], ruleName);
  }
};

const passResult = (parent: XMLBuilder, pass: PassSection, coverage: string, ruleName: string): void => {
  const result = parent.ele("dcc:result", {
    refType:
      pass.pass === "as-found" ? "gp_measuringResult1 dwellpoint_asFound" : "gp_measuringResult1 dwellpoint_asLeft",
  });
  addText(result, "dcc:name", pass.heading);
  if (pass.remarks.length > 0) {
    const description = result.ele("dcc:description");
    for (const remark of pass.remarks) description.ele("dcc:content", { lang: "en" }).txt(xmlText(remark));
  }
  const data = result.ele("dcc:data");
  if (pass.rows.length === 0) {
    addText(data, "dcc:text", "No point of this pass has a result.");
    return;
  }
  if (pass.switch !== undefined) {
    switchQuantities(data, pass.switch, coverage, ruleName);
    return;
  }
  const list = data.ele("dcc:list", { refType: "gp_table1" });
  const reference = quantity(list, "basic_referenceValue", "Reference temperature");
  temperatureList(
    reference,
    pass.rows.map((row) => row.reference.plain),
  );
  const nominal = reference.ele("dcc:measurementMetaData").ele("dcc:metaData", { refType: "basic_calibrationValue" });
  addText(nominal, "dcc:declaration", "Calibration point");
  temperatureList(
    nominal.ele("dcc:data").ele("dcc:quantity"),
    pass.rows.map((row) => row.nominal.plain),
  );
  temperatureList(
    quantity(list, "basic_measuredValue", "Indication of the item"),
    pass.rows.map((row) => row.indication.plain),
  );
  const error = quantity(list, "basic_measurementError", "Error of indication");
  errorList(error, pass.rows, coverage);
  conformity(error, pass.rows, ruleName);
};

/** Units of a fitted item's table in D-SI. */
const signalUnits: Readonly<Record<FitSection["table"]["unit"], string>> = {
  Ω: "\\ohm",
  mV: "\\milli\\volt",
  mA: "\\milli\\ampere",
  "°C": celsius,
};

/** The item's equation: coefficients as values without D-SI unit (their unit is in the name), and the table. */
const fitResult = (parent: XMLBuilder, fit: FitSection): void => {
  const result = parent.ele("dcc:result", { refType: "dwellpoint_equation" });
  addText(result, "dcc:name", fit.heading);
  const description = result.ele("dcc:description");
  for (const words of [fit.equation, fit.quality, fit.table.note])
    description.ele("dcc:content", { lang: "en" }).txt(xmlText(words));
  const data = result.ele("dcc:data");
  const coefficients = data.ele("dcc:list", { refType: "dwellpoint_coefficients" });
  for (const { symbol, value, standardUncertainty, unit } of fit.coefficients) {
    const entry = quantity(coefficients, "dwellpoint_coefficient", unit === "" ? symbol : `${symbol} in ${unit}`);
    addText(entry, "dcc:description", `${fit.columns.uncertainty}: ${standardUncertainty.plain}`);
    const real = entry.ele("si:real");
    real.ele("si:value").txt(value.plain);
    real.ele("si:unit").txt("\\one");
  }
  const { rows, unit, columns, k, coverage } = fit.table;
  const list = data.ele("dcc:list", { refType: "gp_table2" });
  temperatureList(
    quantity(list, "dwellpoint_temperature", columns[0]!.heading),
    rows.map(({ temperature }) => temperature.plain),
  );
  valueList(
    quantity(list, "dwellpoint_signal", columns[1]!.heading),
    rows.map(({ signal }) => signal.plain),
    signalUnits[unit],
  );
  const ofCurve = quantity(list, "dwellpoint_expandedUncertainty", columns[2]!.heading);
  addText(ofCurve, "dcc:description", `k = ${k}, coverage probability ${coverage}`);
  valueList(
    ofCurve,
    rows.map(({ U }) => U.plain),
    kelvin,
  );
};

const itemResult = (
  parent: XMLBuilder,
  item: ItemSection,
  write: (element: XMLBuilder) => void,
  index: number,
): XMLBuilder => {
  const element = parent.ele("dcc:measurementResult", { refId: `item-${index + 1}` });
  addText(element, "dcc:name", item.heading);
  if (item.adjustment !== null) addText(element, "dcc:description", item.adjustment);
  write(element);
  return element.ele("dcc:results");
};

/** The measurement results: for each item its methods, equipment, conditions, and a list of quantities for each pass. */
export const writeResults: Writer = (parent, document) => {
  const circumstances = (element: XMLBuilder): void => {
    methods(element, document);
    const equipments = element.ele("dcc:measuringEquipments");
    for (const entry of document.equipment) equipment(equipments, entry);
    const influences = element.ele("dcc:influenceConditions");
    for (const entry of document.influences) influence(influences, entry);
  };
  for (const [index, item] of document.items.entries()) {
    const results = itemResult(parent, item, circumstances, index);
    for (const pass of item.passes) passResult(results, pass, document.coverage, document.rule.name);
    if (item.fit !== null) fitResult(results, item.fit);
  }
};

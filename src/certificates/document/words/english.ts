import { englishItems } from "./english-items.ts";
import type { Words } from "./words.ts";

const passPhrase = { "as-found": "as found, before any adjustment", "as-left": "as left" } as const;
const ownRisk =
  "For each point the table states the specific risk, that its own statement is wrong, for an error distributed normally (with few degrees of freedom, by Student's distribution) with the standard uncertainty U/k.";

/** A list in English words. */
const and = (parts: readonly string[]): string =>
  parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)!}`;

/** Every word of an English certificate. */
export const english: Words = {
  ...englishItems,
  paper: {
    title: "Calibration certificate",
    labels: {
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
      amendment: "Amendment",
      logo: "Logo of the laboratory",
      changed: "changed",
      symbol: "Accreditation symbol",
    },
    bands: {
      rehearsal: "Rehearsal on a simulated bench — not a calibration certificate",
      preview: "Preview — not issued",
      unfit: "Not fit for issue — the check before issue has stops",
      withdrawn: (day, reason) => `Withdrawn on ${day}: ${reason}`,
      replaced: (number, day) => `Replaced on ${day} by certificate ${number}`,
    },
    day: (day) => day,
    and,
    facts: {
      calibrated: "Date of calibration",
      received: "Date of receipt",
      issued: "Date of issue",
      place: "Place of calibration",
      method: "Method",
      job: "Job",
      due: "Next calibration",
      dueAgreed: (day, agreedWith) => `${day}, as agreed with ${agreedWith}`,
      period: (begun, ended) => `${begun} to ${ended}`,
      methodOf: (identifier, revision) => `${identifier}, revision ${revision}`,
      methodTitled: (identifier, revision, title) => `${identifier}, revision ${revision}: ${title}`,
    },
    record: {
      run: "Run",
      job: "Job",
      opened: "Opened",
      utc: (moment) => `${moment} (UTC)`,
      software: "Software",
      seed: "Seed of the bench",
      hash: "SHA-256 of the run log",
    },
    summaryNote: (rule) =>
      `The worst decision over the points of each pass, under the rule "${rule}", which the section Statements describes.`,
    passNames: { "as-found": "As found", "as-left": "As left" },
    resultsOf: {
      "as-found": "Results as found, before any adjustment",
      "as-left": "Results as left",
    },
    decisions: {
      pass: "Pass",
      "conditional-pass": "Conditional pass",
      undecided: "Undecided",
      "conditional-fail": "Conditional fail",
      fail: "Fail",
      none: "None stated",
    },
    languages: { en: "English", de: "German", es: "Spanish", fr: "French" },
    translation: (binding) =>
      `This is the English text of the same certificate. Where the languages differ, the ${binding} text holds.`,
    amendment: {
      text: (number, day, reason) =>
        `This certificate is an amendment to certificate ${number} of ${day} and replaces it. Reason: ${reason}`,
      columns: { what: "What is changed", before: "Before", after: "Now" },
      languages: "Languages",
      noChange: "No figure of the results is changed.",
      nothing: "not stated",
      person: "Authorised by",
      results: (tag, pass, point) => `${tag}, ${pass}, ${point}`,
    },
    label: {
      calibrated: "Calibrated",
      certificate: "Certificate",
      result: "Result",
      due: "Next calibration",
      serial: "Serial no.",
    },
  },
  conditions: {
    method: "Method",
    principle: "Principle",
    sources: { bath: "stirred bath", "dry-block": "dry block", furnace: "furnace" },
    comparison: (source) =>
      `Comparison with a reference thermometer in a ${source}. The error is the indication of the item minus the reference temperature, from readings of both at the same moments.`,
    points: "Points",
    visited: (order) => `Visited ${order}.`,
    orders: {
      one: "one point",
      rising: "in rising order",
      falling: "in falling order",
      table: "in the order of the table",
    },
    readings: "Readings",
    readingsOf: (count, interval) => `${count} readings of each channel at each point, ${interval} apart.`,
    byHandOf: (what, count, interval) =>
      `${what === null ? "Reference" : what} read by eye and typed: ${count} readings at each point, ${interval} apart, more where rest was not shown by them.`,
    wiredBeside: "What has a wire was read all the while.",
    settling: "Settling",
    settlingOf: (limit, window) =>
      `Readings began when the difference between item and reference had settled: what was still missing, together with the uncertainty of that difference, had to be within ${limit}, judged over ${window} or more. What was left of it is part of the uncertainty.`,
    ofTolerance: (percent) => `${percent} of the tolerance`,
    ramps: "Ramps",
    rampPrinciple: (source) =>
      `The temperature of a ${source} was taken slowly past the change of the contact, both ways, beside a reference thermometer. The temperature of a change is that of the reference at the moment of the change, interpolated between the readings before and after; chatter counts to the time between them.`,
    rampsOf: (times, rates, by, soak) =>
      `${times === 1 ? "once" : `${times} times`} each way, at ${rates}, ${by}, after a rest of ${soak}.`,
    byRamp: "by the source's own ramp",
    bySteps: (step) => `by moving the set point in steps of ${step} or little more`,
    rampReadings: (interval) => `The contact and the reference were read every ${interval}.`,
    change: "Change",
    changeOf: (hold) =>
      `A change counts once the contact has stayed for ${hold}; dead band is the change rising minus the change falling.`,
    ambient: "Ambient temperature",
    humidity: "Relative humidity",
    referenceImmersed: "Reference immersed",
    itemImmersed: (tag) => `Immersion depth of ${tag}`,
    remarks: "Remarks",
    roles: { reference: "Reference thermometer", readout: "Readout", source: "Heat source" },
    replacedRole: (role) => `${role}, in place of the other from its replacement on`,
  },
  statements: {
    headings: {
      traceability: "Traceability",
      uncertainty: "Uncertainty",
      stability: "Validity in time",
      "decision-rule": "Decision rule",
      "global-risk": "Global risk",
      deviations: "Deviations",
      "customer-data": "Data from the customer",
      accreditation: "Accreditation",
      scope: "Scope of the results",
      reproduction: "Reproduction",
    },
    traceability: (of) =>
      `Temperatures are on the International Temperature Scale of 1990 (ITS-90). The reference temperature was realised by the reference thermometer ${of.reference}; its coefficients and their uncertainty come from certificate ${of.referenceCertificate} of ${of.referenceDay}, ${of.referenceLaboratory}. Its signal and that of the item were measured with the readout ${of.readout}, certificate ${of.readoutCertificate} of ${of.readoutDay}, ${of.readoutLaboratory}. Through these unbroken chains of calibrations the results are traceable to the International System of Units (SI).`,
    uncertainty: (coverage) =>
      `U is the expanded uncertainty of the error of the same point. It is the combined standard uncertainty, worked out as the Guide to the Expression of Uncertainty in Measurement (JCGM 100) lays down, multiplied by the coverage factor k of the same row, which gives a coverage probability of about ${coverage} for the effective degrees of freedom of that point. It holds the contributions of the reference, the readout, the heat source, what was still to settle, and the item's own short-term behaviour and resolution.`,
    uncertaintyOfSwitch: (coverage) =>
      `U is the expanded uncertainty of the temperature or dead band in the same row. It is the combined standard uncertainty, worked out as the Guide to the Expression of Uncertainty in Measurement (JCGM 100) lays down, multiplied by the coverage factor k of the row, which gives a coverage probability of about ${coverage} for its effective degrees of freedom. It holds the contributions of the reference, the readout, the heat source, the time between readings on the ramp, the lag of the switch, and its short-term repeatability; what is common to both changes cancels in the dead band.`,
    stability:
      "The uncertainty belongs to the values at the time and under the conditions of the calibration. It holds no allowance for drift of the item afterwards or for transport.",
    conformity: (rule) =>
      `Conformity is stated for each point of the tables of results with a decision, against the specification named with the item. ${rule}`,
    undecided:
      "Where U leaves no room between the acceptance limits, no statement can be made and the point is called undecided; that is not a failure.",
    ownRisk,
    rules: {
      simple: {
        name: "simple acceptance",
        text: "Simple acceptance, without a guard band (w = 0): a point passes when its error lies within the tolerance, limits included, and fails otherwise. For an error that lies exactly on a limit the risk of a wrong statement reaches 50 %. ",
      },
      guardBand: {
        name: (width) => `guard band ${width}`,
        text: (width) =>
          `Guard band ${width} on each side, U being the expanded uncertainty of the same point: a point passes when its error lies within the acceptance limits, which are the limits of the tolerance drawn in by w, and fails otherwise. `,
        bound:
          "For a point that passes, the risk that its true error lies outside the tolerance is then 2.5 % or less (ILAC-G8:09/2019). ",
      },
      specificRisk: {
        name: (limit) => `specific risk of ${limit} or less`,
        text: (limit) =>
          `Guard band by specific risk: a point passes when the probability that its true error lies outside the tolerance is ${limit} or less, given this measurement alone (JCGM 106:2012, 8.3.2), and fails otherwise. The acceptance limits in the table follow from that probability and the uncertainty of the point; both ends of the tolerance count. `,
      },
      nonBinary: {
        name: "non-binary statement with guard band w = U",
        text: "Non-binary statement with guard band w = U (ILAC-G8:09/2019, 4.2.3), U being the expanded uncertainty of the same point. Pass: the error lies within the acceptance limits, which are the limits of the tolerance drawn in by w; the risk that the true error lies outside the tolerance is then 2.5 % or less. Conditional pass: the error lies within the tolerance but outside the acceptance limits; that risk is up to 50 %. Conditional fail: the error lies outside the tolerance by no more than w; the risk that the true error lies within the tolerance is up to 50 %. Fail: the error lies outside by more than w; that risk is then 2.5 % or less. ",
      },
    },
    scope: "The results relate only to the items calibrated, as they are identified in this certificate.",
    reproduction:
      "This certificate may be reproduced only in full, unless the laboratory that issued it has agreed in writing.",
    customerData: (things) =>
      `The customer supplied ${things}. The laboratory did not determine them; where they are wrong, the statement of conformity can be wrong with them.`,
    customerThings: {
      tag: "the tags of the items",
      place: "their places in the plant",
      range: "their ranges of use",
      tolerance: "the specification against which conformity is stated",
    },
    accreditation: {
      within: (text) => `All results lie within the scope of accreditation. ${text}`,
      outside:
        "This certificate is issued outside the laboratory's accreditation: not every result lies within its scope.",
    },
    deviations: {
      none: "None from the method.",
      ended: (outcome, reason) =>
        `The run was ${outcome === "stopped" ? "stopped" : "broken off"} before its end${reason === null ? "" : ` (${reason})`}.`,
      rejected: (count) =>
        `${count === 1 ? "One reading was" : `${count} readings were`} rejected, with the reason in the run log.`,
      kitChange: (role, from, to, reason) =>
        `The ${role} ${from} was replaced by ${to} in the middle of the run: ${reason}.`,
      ramps: (tag, pass) =>
        `${tag}: not every ramp of the method has a change ${passPhrase[pass]}; the table of ramps says which.`,
      points: (tag, pass) =>
        `${tag}: not every point of the method has a result ${passPhrase[pass]}; those without one are named under its table.`,
    },
    globalRisk: {
      text: (parts) =>
        `For each point the probability, before anything is measured, that an item with this history is accepted though it does not conform (consumer's risk), and that it is rejected though it conforms (producer's risk). It judges the rule and not the item that was measured; of that item the tables speak. ${parts}`,
      part: (tag, pass, prior, points) =>
        `${tag} ${pass.toLowerCase()}${prior}, consumer's and producer's risk: ${points}.`,
      notStated: (place) => `${place} not stated`,
      stated: (place, consumer, producer) => `${place} ${consumer} and ${producer}`,
      prior: (whose, from, to, deviation) =>
        ` (prior: ${whose === "item" ? "the item's own earlier errors" : "earlier errors of items of its class"} from ${from} to ${to}, standard deviation ${deviation} without the part of their measurements)`,
      spread: (least, most) => `${least} to ${most}`,
    },
  },
  data: {
    job: "Job",
    run: "Run",
    hash: "SHA-256 of the run log",
    serial: "Serial number",
    tag: "Tag",
    item: "Item of the job",
    notice: "Notice",
    place: "Place of calibration",
    equipment: "Equipment",
    certificate: "Certificate of its calibration",
    certificateOf: (certificate, day, laboratory) => `Certificate ${certificate} of ${day}, ${laboratory}`,
    validUntil: (day) => `Valid until ${day}`,
    characterised: (day) => `Characterised ${day}`,
    unknown: "unknown",
    within: (halfWidth) => `within ±${halfWidth} of the value`,
    conformity: "Conformity",
    conformityNote: (rule) =>
      `Decision rule: ${rule}. noPass stands for a point without a statement of conformity; limits that do not exist are NaN.`,
    acceptance: { lower: "Lower acceptance limit", upper: "Upper acceptance limit" },
    tolerance: { lower: "Lower limit of the tolerance", upper: "Upper limit of the tolerance" },
    agreedTemperature: "Agreed temperature",
    agreedDeviation: "Deviation from the agreed temperature",
    nothing: "No point of this pass has a result.",
    reference: "Reference temperature",
    calibrationPoint: "Calibration point",
    indication: "Indication of the item",
    error: "Error of indication",
    inUnit: (symbol, unit) => `${symbol} in ${unit}`,
    coverage: (k, probability) => `k = ${k}, coverage probability ${probability}`,
    previous: "Certificate that this one replaces",
    people: { technician: "calibrated by", authorised: "authorised by" },
  },
};

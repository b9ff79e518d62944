import type { Words } from "./words.ts";

const ended = { stopped: "stopped", failed: "failed", completed: "completed", open: "open" } as const;

export const englishItems: Pick<Words, "item" | "results" | "fit" | "switch"> = {
  item: {
    heading: (tag) => `Item ${tag}`,
    facts: {
      tag: "Tag",
      serial: "Serial number",
      description: "Description",
      model: "Model",
      place: "Place in the plant",
      condition: "Condition as received",
      sensor: "Sensor",
      junction: "Reference junction",
      specification: "Specification",
      range: "Range of use",
      immersion: "Item immersed",
      notCalibrated: "Not calibrated",
    },
    span: (lower, upper) => `${lower} to ${upper}`,
    sensor: {
      thermocouple: (type) => `Thermocouple type ${type}, reference function of IEC 60584-1`,
      thermocoupleDeviation: (type, coefficients) =>
        `Thermocouple type ${type}, reference function of IEC 60584-1 with deviation polynomial ${coefficients} (mV, powers of t/°C from 0)`,
      its90: (rtpw) => `Platinum resistance thermometer, ITS-90 deviation functions, R(0.01 °C) = ${rtpw}`,
      callendarVanDusen: (coefficients) =>
        `Platinum resistance thermometer, Callendar-Van Dusen equation, ${coefficients}`,
      thermistor: "Thermistor, Steinhart-Hart equation",
      loop: (low, high, lower, upper) => `Temperature transmitter, ${low} to ${high} for ${lower} to ${upper}, linear`,
      indication: "Indicating thermometer, read in °C",
      switch: (action, trip, tripsOn) =>
        `Temperature switch, its contact ${action} when the temperature rises, trip at ${trip} ${tripsOn}`,
    },
    classes: {
      "iec-60584-1/1": "IEC 60584-1, tolerance class 1",
      "iec-60584-1/2": "IEC 60584-1, tolerance class 2",
      "iec-60584-1/3": "IEC 60584-1, tolerance class 3",
      "astm-e230/standard": "ASTM E230, standard tolerance",
      "astm-e230/special": "ASTM E230, special tolerance",
      "iec-60751/AA": "IEC 60751, class AA",
      "iec-60751/A": "IEC 60751, class A",
      "iec-60751/B": "IEC 60751, class B",
      "iec-60751/C": "IEC 60751, class C",
    },
    tolerance: {
      ofReading: (percent) => `${percent} of the temperature in °C`,
      ofSpan: (percent) => `${percent} of span`,
      table: (rows) => `${rows}, linear between`,
      tableRow: (kelvin, temperature) => `${kelvin} at ${temperature}`,
      larger: (parts) => `the larger of ${parts}`,
      sum: (parts) => `the sum of ${parts}`,
      agreed: (tolerance) => `${tolerance}, as agreed with the customer`,
      trip: (kelvin, temperature) => `${kelvin} for the trip at ${temperature}`,
      reset: (kelvin, temperature) => `; ${kelvin} for the reset at ${temperature}`,
      deadBand: (minimum, maximum) => `; dead band ${minimum} to ${maximum}`,
    },
    junction: {
      ice: (value) => `Ice point, ${value}`,
      channel: (name, halfWidth) => `Measured on channel ${name}, ${halfWidth}`,
    },
    notCalibrated: {
      sensor:
        "The sensor was calibrated with the leads it came with. The instrument and the cable that it is connected to in service were not.",
      loop: "The transmitter was calibrated together with its sensor, by its loop current. The input, the display and the control system that receive this current in service were not.",
      indication:
        "The thermometer was calibrated by its own display. Signal outputs, alarms and recording functions were not.",
      switch:
        "The switch was calibrated by its contact, in a heat source. What the contact acts on in service (relay, interlock, alarm) was not, nor its load or switching capacity.",
    },
    adjustment: {
      coefficients: (sensor, by) =>
        `New coefficients were worked out from the results as found and hold for the results as left: ${sensor}. Confirmed by ${by}.`,
      none: "The item was not adjusted between the results as found and as left.",
      zeroAndSpan: (zero, span) =>
        `The item was adjusted between the results as found and as left: its indication was changed by ${zero} at the lower end of its range, and by ${span} more over its range.`,
      by: (by) => ` Adjusted by ${by}.`,
      byAllowed: (by, allowed) => ` Adjusted by ${by}, with the permission of ${allowed}.`,
    },
    picture: {
      heading: "Errors and their uncertainty",
      alt: (tag, lines) =>
        `Errors of ${tag} over temperature, with expanded uncertainty, against the tolerance. ${lines}`,
      altPoint: (error, U, temperature) => `${error} with U = ${U} at ${temperature}`,
      bars: "Bars show the expanded uncertainty U; where it is smaller than the mark they lie behind it.",
      joinedLimits: "Limits are joined by straight lines between the points.",
      noTolerance: "No tolerance applies at these points.",
      guardOfLeft: "The guard band drawn is that of the results as left.",
      x: "Temperature (ITS-90) / °C",
      y: "Error of indication / K",
      withinAcceptance: "Within acceptance limits",
      withinTolerance: "Within tolerance",
      guard: "Guard band",
    },
  },
  results: {
    columns: {
      nominal: "Point",
      reference: "Reference",
      indication: "Indication",
      error: "Error",
      tolerance: "Tolerance",
      acceptance: "Acceptance",
      risk: "Risk",
      decision: "Decision",
    },
    unmeasured: {
      skipped: { one: "was skipped", many: "were skipped" },
      "not-measured": { one: "was not measured", many: "were not measured" },
      flagged: {
        one: "has no result because its signal was faulty",
        many: "have no result because the signal was faulty",
      },
    },
    point: (place, verb, reason) => `The point at ${place} ${verb}: ${reason}`,
    points: (places, verb, reason) => `The points at ${places} ${verb}: ${reason}`,
    unstated: (place, reason) => `No conformity is stated at ${place}: ${reason}`,
    noTolerance: "no tolerance applies",
    repeated: (place, reason) => `The point at ${place} was measured again: ${reason}`,
    unfitted: (reason) => `No equation was fitted: ${reason}`,
    hysteresis: (place, difference, U) =>
      `${place} was reached rising and falling: falling less rising ${difference} ± ${U}; half of it either way is part of U there.`,
    added: (place, reason) => `The point at ${place} was added to those of the method: ${reason}.`,
    outside: (places) => `The results at ${places} lie outside the laboratory's scope of accreditation.`,
    notReached: (outcome, reason) =>
      `Not reached before the run ended (${ended[outcome]}${reason === null ? "" : `: ${reason}`}).`,
    notRepeated: (reason) => `To be repeated (${reason}), but not measured again.`,
    inEnglish: (text) => text,
    evidence: {
      heading: "How each point was held",
      pass: "Pass",
      point: "Point / °C",
      readings: "Readings",
      signal: "Mean signal of the item",
      remainder: "Still to settle, at most / K",
      target: "Target / K",
      notRecorded: "not recorded",
    },
    check: {
      iceHolds: (serial, difference, limit) =>
        `The reference ${serial} differed by ${difference} in the ice point at the end of the run, within the limit of ${limit}.`,
      iceFailed: (serial, difference, limit) =>
        `The reference ${serial} differed by ${difference} in the ice point at the end of the run, beyond the limit of ${limit}: what was measured with it is suspect.`,
      besideHolds: (serial, difference, limit, beside) =>
        `The reference ${serial} differed by ${difference} beside ${beside} at the end of the run, within the limit of ${limit}.`,
      besideFailed: (serial, difference, limit, beside) =>
        `The reference ${serial} differed by ${difference} beside ${beside} at the end of the run, beyond the limit of ${limit}: what was measured with it is suspect.`,
      besideOf: (serial, certificate) => `the check thermometer ${serial} (${certificate})`,
      weak: " The check itself is less certain than the limit, so it proves little.",
      notMade: "The closing check was planned, but not made.",
      leftOut: (reason) => `The closing check was left out: ${reason}.`,
      firstHolds: (pass, differences, limit) =>
        `Repeated at the end of the pass (${pass}), the first point differed by: ${differences}; within the limit of ${limit}.`,
      firstFailed: (pass, differences, limit) =>
        `Repeated at the end of the pass (${pass}), the first point differed by: ${differences}; the limit is ${limit}, so the points between are suspect.`,
      firstNotMade: (pass) =>
        `The first point was to be repeated at the end (${pass}), but it was not measured both times.`,
    },
  },
  fit: {
    headingOf: {
      "as-found": "Equation of the item as found, before any adjustment",
      "as-left": "Equation of the item as left",
    },
    aboveAluminium: "above the aluminium point",
    callendarVanDusen: (equation) =>
      `${equation}; the Callendar-Van Dusen equation of IEC\u00a060751, t in °C, R in Ω.`,
    callendarVanDusenBelow: (equation) =>
      `${equation}, the term with C below 0 °C only; the Callendar-Van Dusen equation of IEC\u00a060751, t in °C, R in Ω.`,
    its90: (equation, subrange) =>
      `${equation}; the deviation function of the International Temperature Scale of 1990 in its subrange ${subrange}, R in Ω.`,
    deviation: (equation, type) =>
      `${equation}, E′ being the reference function of IEC\u00a060584-1 for type ${type}; t in °C, E in mV with the reference junction at 0 °C.`,
    polynomial: (equation, unit, junction) =>
      `The signal at t in °C is ${equation}, in ${unit}${junction ? ", with the reference junction at 0 °C" : ""}.`,
    columns: { coefficient: "Coefficient", value: "Value", uncertainty: "Standard uncertainty", unit: "Unit" },
    quality: (points, left, largest, at) =>
      `Fitted by weighted least squares to ${points} points, ${left}. The largest residual is ${largest}, at ${at}.`,
    nothingLeft: "so nothing is left to judge the fit by",
    degrees: (count) => `${count} degree${count === 1 ? "" : "s"} of freedom left`,
    scatter: (times) =>
      ` The points scatter about the curve ${times} times as much as their own uncertainties let expect.`,
    tableHeading: (lower, upper) => `Table from ${lower} to ${upper}`,
    tableNote: (k, coverage) =>
      `What the equation gives. U is the expanded uncertainty of the fitted curve at that temperature (k = ${k}, coverage probability about ${coverage}); it holds in full what all points have in common. It belongs to the item as calibrated, and does not hold the uncertainty of measuring with it afterwards. Between the rows use the equation.`,
    signal: "Signal",
  },
  switch: {
    action: "Action",
    agreed: "Agreed",
    measured: "Measured",
    deviation: "Deviation",
    limits: "Limits",
    deadBand: "Dead band",
    change: (role, contact, direction) => `${role === "trip" ? "Trip" : "Reset"}: ${contact}, ${direction}`,
    between: (lower, upper) => `${lower} to ${upper}`,
    lagDeclared: (seconds) =>
      `The temperatures are corrected for the ramp: the switch trails the reference by ${seconds}, as declared.`,
    lagTwoRates: (seconds, u) =>
      `The temperatures hold at rest: from ramps at two rates the switch trails the reference by ${seconds} (standard uncertainty ${u}), and its effect is taken off.`,
    lagBounded: (seconds) =>
      `The effect of the ramp is not corrected; up to ${seconds} by which the switch may trail the reference stand in the uncertainty.`,
    noResult: (name, reason) => `${name} has no result: ${reason}`,
    noDeadBand: (reason) => `The dead band has no result: ${reason}`,
    unstated: (name, reason) => `${name}: no conformity is stated. ${reason}`,
    noLimits: "No limits are agreed.",
    ramp: (cycle, direction) => `${cycle}, ${direction}`,
    rampNote: (ramp, reason) => `Ramp ${ramp}: ${reason}`,
    leftOut: "left out.",
    unchanged: "The contact did not change on the ramp.",
    needsBoth: "It needs the changes of both directions.",
    evidence: {
      heading: "What the contact did on each ramp",
      ramp: "Ramp",
      rate: "Rate / (K/min)",
      contact: "Contact",
      reference: "Reference, as read / °C",
      between: "Between / s",
    },
    changed: (bounces) => `changed${bounces === 0 ? "" : `, ${bounces} ${bounces === 1 ? "bounce" : "bounces"}`}`,
    states: { "no-change": "did not change", flagged: "faulty", skipped: "left out", "not-measured": "not read" },
  },
};

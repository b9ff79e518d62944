import type { Words } from "./words.ts";

const directions = { rising: "steigend", falling: "fallend" } as const;
const actions = { opens: "öffnet", closes: "schließt" } as const;
const ended = { stopped: "angehalten", failed: "abgebrochen", completed: "beendet", open: "offen" } as const;

export const germanItems: Pick<Words, "item" | "results" | "fit" | "switch"> = {
  item: {
    heading: (tag) => `Kalibriergegenstand ${tag}`,
    facts: {
      tag: "Messstelle",
      serial: "Seriennummer",
      description: "Bezeichnung",
      model: "Typ",
      place: "Einbauort",
      condition: "Zustand bei Erhalt",
      sensor: "Sensor",
      junction: "Vergleichsstelle",
      specification: "Spezifikation",
      range: "Einsatzbereich",
      immersion: "Eintauchtiefe",
      notCalibrated: "Nicht kalibriert",
    },
    span: (lower, upper) => `${lower} bis ${upper}`,
    sensor: {
      thermocouple: (type) => `Thermoelement Typ ${type}, Referenzfunktion nach IEC 60584-1`,
      thermocoupleDeviation: (type, coefficients) =>
        `Thermoelement Typ ${type}, Referenzfunktion nach IEC 60584-1 mit Abweichungspolynom ${coefficients} (mV, Potenzen von t/°C ab 0)`,
      its90: (rtpw) => `Platin-Widerstandsthermometer, Abweichungsfunktionen der ITS-90, R(0,01 °C) = ${rtpw}`,
      callendarVanDusen: (coefficients) =>
        `Platin-Widerstandsthermometer, Callendar-Van-Dusen-Gleichung, ${coefficients}`,
      thermistor: "Heißleiter, Steinhart-Hart-Gleichung",
      loop: (low, high, lower, upper) =>
        `Temperatur-Messumformer, ${low} bis ${high} für ${lower} bis ${upper}, linear`,
      indication: "Anzeigendes Thermometer, abgelesen in °C",
      switch: (action, trip, tripsOn) =>
        `Temperaturschalter, Kontakt ${actions[action]} bei steigender Temperatur, Schaltpunkt ${trip} ${directions[tripsOn]}`,
    },
    classes: {
      "iec-60584-1/1": "IEC 60584-1, Toleranzklasse 1",
      "iec-60584-1/2": "IEC 60584-1, Toleranzklasse 2",
      "iec-60584-1/3": "IEC 60584-1, Toleranzklasse 3",
      "astm-e230/standard": "ASTM E230, Standardtoleranz",
      "astm-e230/special": "ASTM E230, Sondertoleranz",
      "iec-60751/AA": "IEC 60751, Klasse AA",
      "iec-60751/A": "IEC 60751, Klasse A",
      "iec-60751/B": "IEC 60751, Klasse B",
      "iec-60751/C": "IEC 60751, Klasse C",
    },
    tolerance: {
      ofReading: (percent) => `${percent} der Temperatur in °C`,
      ofSpan: (percent) => `${percent} der Messspanne`,
      table: (rows) => `${rows}, dazwischen linear`,
      tableRow: (kelvin, temperature) => `${kelvin} bei ${temperature}`,
      larger: (parts) => `der größere Wert aus ${parts}`,
      sum: (parts) => `die Summe aus ${parts}`,
      agreed: (tolerance) => `${tolerance}, mit dem Kunden vereinbart`,
      trip: (kelvin, temperature) => `${kelvin} für den Schaltpunkt bei ${temperature}`,
      reset: (kelvin, temperature) => `; ${kelvin} für den Rückschaltpunkt bei ${temperature}`,
      deadBand: (minimum, maximum) => `; Schalthysterese ${minimum} bis ${maximum}`,
    },
    junction: {
      ice: (value) => `Eispunkt, ${value}`,
      channel: (name, halfWidth) => `Gemessen auf Kanal ${name}, ${halfWidth}`,
    },
    notCalibrated: {
      sensor:
        "Der Sensor wurde mit seinen eigenen Anschlussleitungen kalibriert. Das Gerät und die Leitung, an denen er im Betrieb angeschlossen ist, wurden nicht kalibriert.",
      loop: "Der Messumformer wurde zusammen mit seinem Sensor über den Schleifenstrom kalibriert. Eingang, Anzeige und Leitsystem, die diesen Strom im Betrieb empfangen, wurden nicht kalibriert.",
      indication:
        "Das Thermometer wurde an seiner eigenen Anzeige kalibriert. Signalausgänge, Alarme und Aufzeichnung wurden nicht kalibriert.",
      switch:
        "Der Schalter wurde an seinem Kontakt in einer Temperaturquelle kalibriert. Was der Kontakt im Betrieb bewirkt (Relais, Verriegelung, Alarm), wurde nicht kalibriert, ebenso wenig seine Belastbarkeit.",
    },
    adjustment: {
      coefficients: (sensor, by) =>
        `Aus den Ergebnissen im vorgefundenen Zustand wurden neue Koeffizienten bestimmt; sie gelten für die Ergebnisse im hinterlassenen Zustand: ${sensor}. Bestätigt von ${by}.`,
      none: "Der Kalibriergegenstand wurde zwischen vorgefundenem und hinterlassenem Zustand nicht justiert.",
      zeroAndSpan: (zero, span) =>
        `Der Kalibriergegenstand wurde zwischen vorgefundenem und hinterlassenem Zustand justiert: Seine Anzeige wurde am unteren Ende des Bereichs um ${zero} und über den Bereich um weitere ${span} geändert.`,
      by: (by) => ` Justiert von ${by}.`,
      byAllowed: (by, allowed) => ` Justiert von ${by}, mit Erlaubnis von ${allowed}.`,
    },
    picture: {
      heading: "Messabweichungen und ihre Unsicherheit",
      alt: (tag, lines) =>
        `Messabweichungen von ${tag} über der Temperatur, mit erweiterter Messunsicherheit, gegen die Toleranz. ${lines}`,
      altPoint: (error, U, temperature) => `${error} mit U = ${U} bei ${temperature}`,
      bars: "Die Balken zeigen die erweiterte Messunsicherheit U; ist sie kleiner als das Zeichen, liegen sie dahinter.",
      joinedLimits: "Die Grenzen sind zwischen den Punkten durch Geraden verbunden.",
      noTolerance: "An diesen Punkten gilt keine Toleranz.",
      guardOfLeft: "Gezeichnet ist das Schutzband der Ergebnisse im hinterlassenen Zustand.",
      x: "Temperatur (ITS-90) / °C",
      y: "Messabweichung der Anzeige / K",
      withinAcceptance: "Innerhalb der Annahmegrenzen",
      withinTolerance: "Innerhalb der Toleranz",
      guard: "Schutzband",
    },
  },
  results: {
    columns: {
      nominal: "Punkt",
      reference: "Referenz",
      indication: "Anzeige",
      error: "Abweichung",
      tolerance: "Toleranz",
      acceptance: "Annahme",
      risk: "Risiko",
      decision: "Entscheidung",
    },
    unmeasured: {
      skipped: { one: "wurde ausgelassen", many: "wurden ausgelassen" },
      "not-measured": { one: "wurde nicht gemessen", many: "wurden nicht gemessen" },
      flagged: {
        one: "hat kein Ergebnis, weil sein Signal gestört war",
        many: "haben kein Ergebnis, weil das Signal gestört war",
      },
    },
    point: (place, verb, reason) => `Der Punkt bei ${place} ${verb}: ${reason}`,
    points: (places, verb, reason) => `Die Punkte bei ${places} ${verb}: ${reason}`,
    unstated: (place, reason) => `Bei ${place} wird keine Konformität ausgesagt: ${reason}`,
    noTolerance: "es gilt keine Toleranz",
    repeated: (place, reason) => `Der Punkt bei ${place} wurde erneut gemessen: ${reason}`,
    unfitted: (reason) => `Es wurde keine Gleichung angepasst: ${reason}`,
    hysteresis: (place, difference, U) =>
      `${place} wurde steigend und fallend erreicht: fallend minus steigend ${difference} ± ${U}; die Hälfte davon nach beiden Seiten ist dort Teil von U.`,
    added: (place, reason) => `Der Punkt bei ${place} kam zu denen des Verfahrens hinzu: ${reason}.`,
    outside: (places) => `Die Ergebnisse bei ${places} liegen außerhalb des Akkreditierungsumfangs des Laboratoriums.`,
    notReached: (outcome, reason) =>
      `Vor dem Ende des Laufs nicht erreicht (${ended[outcome]}${reason === null ? "" : `: ${reason}`}).`,
    notRepeated: (reason) => `Zu wiederholen (${reason}), aber nicht erneut gemessen.`,
    inEnglish: (text) => `(Wortlaut der Auswertung, englisch) ${text}`,
    evidence: {
      heading: "Wie jeder Punkt gehalten wurde",
      pass: "Zustand",
      point: "Punkt / °C",
      readings: "Ablesungen",
      signal: "Mittleres Signal des Kalibriergegenstands",
      remainder: "Noch ausstehend, höchstens / K",
      target: "Ziel / K",
      notRecorded: "nicht erfasst",
    },
    check: {
      iceHolds: (serial, difference, limit) =>
        `Das Referenzthermometer ${serial} wich am Ende des Laufs im Eispunkt um ${difference} ab, innerhalb der Grenze von ${limit}.`,
      iceFailed: (serial, difference, limit) =>
        `Das Referenzthermometer ${serial} wich am Ende des Laufs im Eispunkt um ${difference} ab, über die Grenze von ${limit} hinaus: Was damit gemessen wurde, ist fraglich.`,
      besideHolds: (serial, difference, limit, beside) =>
        `Das Referenzthermometer ${serial} wich am Ende des Laufs neben ${beside} um ${difference} ab, innerhalb der Grenze von ${limit}.`,
      besideFailed: (serial, difference, limit, beside) =>
        `Das Referenzthermometer ${serial} wich am Ende des Laufs neben ${beside} um ${difference} ab, über die Grenze von ${limit} hinaus: Was damit gemessen wurde, ist fraglich.`,
      besideOf: (serial, certificate) => `dem Kontrollthermometer ${serial} (${certificate})`,
      weak: " Die Prüfung selbst ist unsicherer als die Grenze und beweist daher wenig.",
      notMade: "Die Schlussprüfung war vorgesehen, wurde aber nicht durchgeführt.",
      leftOut: (reason) => `Die Schlussprüfung wurde ausgelassen: ${reason}.`,
      firstHolds: (pass, differences, limit) =>
        `Am Ende wiederholt (${pass}), wich der erste Punkt ab um: ${differences}; innerhalb der Grenze von ${limit}.`,
      firstFailed: (pass, differences, limit) =>
        `Am Ende wiederholt (${pass}), wich der erste Punkt ab um: ${differences}; die Grenze ist ${limit}, daher sind die Punkte dazwischen fraglich.`,
      firstNotMade: (pass) =>
        `Der erste Punkt sollte am Ende wiederholt werden (${pass}), wurde aber nicht beide Male gemessen.`,
    },
  },
  fit: {
    headingOf: {
      "as-found": "Gleichung des Kalibriergegenstands im vorgefundenen Zustand, vor jeder Justierung",
      "as-left": "Gleichung des Kalibriergegenstands im hinterlassenen Zustand",
    },
    aboveAluminium: "oberhalb des Aluminiumpunkts",
    callendarVanDusen: (equation) => `${equation}; Callendar-Van-Dusen-Gleichung nach IEC\u00a060751, t in °C, R in Ω.`,
    callendarVanDusenBelow: (equation) =>
      `${equation}, das Glied mit C nur unter 0 °C; Callendar-Van-Dusen-Gleichung nach IEC\u00a060751, t in °C, R in Ω.`,
    its90: (equation, subrange) =>
      `${equation}; Abweichungsfunktion der Internationalen Temperaturskala von 1990 in ihrem Teilbereich ${subrange}, R in Ω.`,
    deviation: (equation, type) =>
      `${equation}, E′ ist die Referenzfunktion nach IEC\u00a060584-1 für Typ ${type}; t in °C, E in mV mit der Vergleichsstelle bei 0 °C.`,
    polynomial: (equation, unit, junction) =>
      `Das Signal bei t in °C ist ${equation}, in ${unit}${junction ? ", mit der Vergleichsstelle bei 0 °C" : ""}.`,
    columns: { coefficient: "Koeffizient", value: "Wert", uncertainty: "Standardunsicherheit", unit: "Einheit" },
    quality: (points, left, largest, at) =>
      `Angepasst nach gewichteten kleinsten Quadraten an ${points} Punkte, ${left}. Das größte Residuum beträgt ${largest}, bei ${at}.`,
    nothingLeft: "sodass nichts bleibt, woran die Anpassung zu beurteilen wäre",
    degrees: (count) => (count === 1 ? "ein Freiheitsgrad bleibt" : `${count} Freiheitsgrade bleiben`),
    scatter: (times) =>
      ` Die Punkte streuen um die Kurve das ${times}-Fache dessen, was ihre eigenen Unsicherheiten erwarten lassen.`,
    tableHeading: (lower, upper) => `Tabelle von ${lower} bis ${upper}`,
    tableNote: (k, coverage) =>
      `Was die Gleichung ergibt. U ist die erweiterte Messunsicherheit der angepassten Kurve bei dieser Temperatur (k = ${k}, Überdeckungswahrscheinlichkeit etwa ${coverage}); was allen Punkten gemeinsam ist, ist darin voll enthalten. Sie gehört zum Kalibriergegenstand, wie er kalibriert wurde, und enthält nicht die Unsicherheit späterer Messungen mit ihm. Zwischen den Zeilen ist die Gleichung zu verwenden.`,
    signal: "Signal",
  },
  switch: {
    action: "Vorgang",
    agreed: "Vereinbart",
    measured: "Gemessen",
    deviation: "Abweichung",
    limits: "Grenzen",
    deadBand: "Schalthysterese",
    change: (role, contact, direction) =>
      `${role === "trip" ? "Schaltpunkt" : "Rückschaltpunkt"}: ${actions[contact]}, ${directions[direction]}`,
    between: (lower, upper) => `${lower} bis ${upper}`,
    lagDeclared: (seconds) =>
      `Die Temperaturen sind um die Wirkung der Rampe berichtigt: Der Schalter folgt der Referenz mit ${seconds} Verzug, wie angegeben.`,
    lagTwoRates: (seconds, u) =>
      `Die Temperaturen gelten im Ruhezustand: Aus Rampen mit zwei Geschwindigkeiten folgt ein Verzug des Schalters gegen die Referenz von ${seconds} (Standardunsicherheit ${u}); seine Wirkung ist abgezogen.`,
    lagBounded: (seconds) =>
      `Die Wirkung der Rampe ist nicht berichtigt; ein Verzug des Schalters gegen die Referenz bis ${seconds} steht in der Unsicherheit.`,
    noResult: (name, reason) => `${name} hat kein Ergebnis: ${reason}`,
    noDeadBand: (reason) => `Die Schalthysterese hat kein Ergebnis: ${reason}`,
    unstated: (name, reason) => `${name}: Es wird keine Konformität ausgesagt. ${reason}`,
    noLimits: "Es sind keine Grenzen vereinbart.",
    ramp: (cycle, direction) => `${cycle}, ${directions[direction]}`,
    rampNote: (ramp, reason) => `Rampe ${ramp}: ${reason}`,
    leftOut: "ausgelassen.",
    unchanged: "Der Kontakt schaltete auf der Rampe nicht.",
    needsBoth: "Sie braucht das Schalten in beiden Richtungen.",
    evidence: {
      heading: "Was der Kontakt auf jeder Rampe tat",
      ramp: "Rampe",
      rate: "Rate / (K/min)",
      contact: "Kontakt",
      reference: "Referenz, wie abgelesen / °C",
      between: "Zwischen / s",
    },
    changed: (bounces) => `schaltete${bounces === 0 ? "" : `, ${bounces} Prellung${bounces === 1 ? "" : "en"}`}`,
    states: {
      "no-change": "schaltete nicht",
      flagged: "gestört",
      skipped: "ausgelassen",
      "not-measured": "nicht gelesen",
    },
  },
};

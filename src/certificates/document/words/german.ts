import { germanItems } from "./german-items.ts";
import { writtenDay } from "./written-day.ts";
import type { Words } from "./words.ts";

const months = [
  "Januar",
  "Februar",
  "März",
  "April",
  "Mai",
  "Juni",
  "Juli",
  "August",
  "September",
  "Oktober",
  "November",
  "Dezember",
] as const;

const passPhrase = {
  "as-found": "im vorgefundenen Zustand, vor jeder Justierung",
  "as-left": "im hinterlassenen Zustand",
} as const;
const kitRoles = { reference: "Referenzthermometer", readout: "Messgerät", source: "Temperaturquelle" } as const;
const ownRisk =
  "Für jeden Punkt nennt die Tabelle das spezifische Risiko, dass seine eigene Aussage falsch ist, für eine normalverteilte Messabweichung (bei wenigen Freiheitsgraden nach der Student-Verteilung) mit der Standardunsicherheit U/k.";

/** Every word of a German certificate; terms as in the VIM's German edition and DIN EN ISO/IEC 17025 (from memory). */
export const german: Words = {
  ...germanItems,
  paper: {
    title: "Kalibrierschein",
    labels: {
      number: "Nummer des Kalibrierscheins",
      laboratory: "Kalibriert durch",
      customer: "Für",
      summary: "Konformitätsaussage",
      item: "Kalibriergegenstand",
      serial: "Seriennummer",
      results: "Ergebnisse",
      conditions: "Verfahren und Bedingungen",
      traceability: "Rückführung und Messmittel",
      statements: "Aussagen",
      record: "Aufzeichnung",
      authorisation: "Freigabe",
      calibratedBy: "Kalibrierung durchgeführt von",
      authorisedBy: "Freigegeben von",
      signature: "Unterschrift",
      date: "Ausstellungsdatum",
      equipment: "Messmittel",
      certificate: "Kalibrierschein",
      calibrated: "Kalibriert",
      due: "Gültig bis",
      page: "Seite",
      of: "von",
      end: "Ende des Kalibrierscheins",
      adjustment: "Justierung",
      notCalibrated: "Nicht kalibriert",
      description: "Bezeichnung",
      attachment: "Derselbe Kalibrierschein für Maschinen: Digital Calibration Certificate 3.3.0",
      amendment: "Änderung",
      logo: "Zeichen des Laboratoriums",
      changed: "geändert",
      symbol: "Akkreditierungssymbol",
    },
    bands: {
      rehearsal: "Probelauf an einem simulierten Prüfplatz — kein Kalibrierschein",
      preview: "Vorschau — nicht ausgestellt",
      unfit: "Nicht zur Ausstellung geeignet — die Prüfung vor der Ausstellung hat Hindernisse gefunden",
      withdrawn: (day, reason) => `Zurückgezogen am ${day}: ${reason}`,
      replaced: (number, day) => `Ersetzt am ${day} durch Kalibrierschein ${number}`,
    },
    day: writtenDay((day, month, year) => `${day}. ${months[month - 1]} ${year}`),
    and: (parts) => (parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} und ${parts.at(-1)!}`),
    facts: {
      calibrated: "Datum der Kalibrierung",
      received: "Eingangsdatum",
      issued: "Ausstellungsdatum",
      place: "Ort der Kalibrierung",
      method: "Verfahren",
      job: "Auftrag",
      due: "Nächste Kalibrierung",
      dueAgreed: (day, agreedWith) => `${day}, vereinbart mit ${agreedWith}`,
      period: (begun, ended) => `${begun} bis ${ended}`,
      methodOf: (identifier, revision) => `${identifier}, Ausgabe ${revision}`,
      methodTitled: (identifier, revision, title) => `${identifier}, Ausgabe ${revision}: ${title}`,
    },
    record: {
      run: "Lauf",
      job: "Auftrag",
      opened: "Begonnen",
      utc: (moment) => `${moment} (UTC)`,
      software: "Software",
      seed: "Startwert des Prüfplatzes",
      hash: "SHA-256 des Laufprotokolls",
    },
    summaryNote: (rule) =>
      `Die ungünstigste Entscheidung über die Punkte jedes Zustands nach der Regel „${rule}“, die der Abschnitt Aussagen beschreibt.`,
    passNames: { "as-found": "Vorgefunden", "as-left": "Hinterlassen" },
    resultsOf: {
      "as-found": "Ergebnisse im vorgefundenen Zustand, vor jeder Justierung",
      "as-left": "Ergebnisse im hinterlassenen Zustand",
    },
    decisions: {
      pass: "Konform",
      "conditional-pass": "Bedingt konform",
      undecided: "Unentschieden",
      "conditional-fail": "Bedingt nicht konform",
      fail: "Nicht konform",
      none: "Keine Aussage",
    },
    languages: { en: "englische", de: "deutsche", es: "spanische", fr: "französische" },
    translation: (binding) =>
      `Dies ist der deutsche Wortlaut desselben Kalibrierscheins. Wo die Sprachen voneinander abweichen, gilt der ${binding} Wortlaut.`,
    amendment: {
      text: (number, day, reason) =>
        `Dieser Kalibrierschein ist eine Änderung zum Kalibrierschein ${number} vom ${day} und ersetzt ihn. Grund: ${reason}`,
      columns: { what: "Was geändert ist", before: "Bisher", after: "Jetzt" },
      languages: "Sprachen",
      noChange: "Kein Zahlenwert der Ergebnisse ist geändert.",
      nothing: "nicht angegeben",
      person: "Freigegeben von",
      results: (tag, pass, point) => `${tag}, ${pass}, ${point}`,
    },
    label: {
      calibrated: "Kalibriert",
      certificate: "Kalibrierschein",
      result: "Ergebnis",
      due: "Nächste Kalibrierung",
      serial: "Serien-Nr.",
    },
  },
  conditions: {
    method: "Verfahren",
    principle: "Prinzip",
    sources: {
      bath: "einem gerührten Bad",
      "dry-block": "einem Blockkalibrator",
      furnace: "einem Ofen",
    },
    comparison: (source) =>
      `Vergleich mit einem Referenzthermometer in ${source}. Die Messabweichung ist die Anzeige des Kalibriergegenstands minus die Referenztemperatur, aus gleichzeitigen Ablesungen beider.`,
    points: "Punkte",
    visited: (order) => `Angefahren ${order}.`,
    orders: {
      one: "als einzelner Punkt",
      rising: "in steigender Reihenfolge",
      falling: "in fallender Reihenfolge",
      table: "in der Reihenfolge der Tabelle",
    },
    readings: "Ablesungen",
    readingsOf: (count, interval) => `${count} Ablesungen je Kanal und Punkt, im Abstand von ${interval}.`,
    byHandOf: (what, count, interval) =>
      `${what === null ? "Normal" : what} von Hand abgelesen und eingegeben: ${count} Ablesungen je Punkt, im Abstand von ${interval}, mehr, wo sie noch keine Ruhe zeigten.`,
    wiredBeside: "Verdrahtete Kanäle wurden dabei laufend gelesen.",
    settling: "Einschwingen",
    settlingOf: (limit, window) =>
      `Abgelesen wurde, sobald die Differenz zwischen Kalibriergegenstand und Referenz eingeschwungen war: Was noch fehlte, musste zusammen mit der Unsicherheit dieser Differenz innerhalb von ${limit} liegen, beurteilt über mindestens ${window}. Was davon blieb, ist Teil der Unsicherheit.`,
    ofTolerance: (percent) => `${percent} der Toleranz`,
    ramps: "Rampen",
    rampPrinciple: (source) =>
      `Die Temperatur in ${source} wurde neben einem Referenzthermometer langsam in beiden Richtungen über das Schalten des Kontakts hinaus geführt. Die Temperatur eines Schaltens ist die der Referenz in diesem Augenblick, interpoliert zwischen den Ablesungen davor und danach; Prellen zählt zur Zeit dazwischen.`,
    rampsOf: (times, rates, by, soak) =>
      `${times === 1 ? "einmal" : `${times}-mal`} je Richtung, mit ${rates}, ${by}, nach einer Ruhe von ${soak}.`,
    byRamp: "über die eigene Rampe der Quelle",
    bySteps: (step) => `durch Verstellen des Sollwerts in Schritten von ${step} oder wenig mehr`,
    rampReadings: (interval) => `Kontakt und Referenz wurden alle ${interval} abgelesen.`,
    change: "Schalten",
    changeOf: (hold) =>
      `Ein Schalten zählt, sobald der Kontakt ${hold} lang geblieben ist; die Schalthysterese ist das Schalten steigend minus das Schalten fallend.`,
    ambient: "Umgebungstemperatur",
    humidity: "Relative Luftfeuchte",
    referenceImmersed: "Eintauchtiefe der Referenz",
    itemImmersed: (tag) => `Eintauchtiefe von ${tag}`,
    remarks: "Bemerkungen",
    roles: { reference: "Referenzthermometer", readout: "Messgerät", source: "Temperaturquelle" },
    replacedRole: (role) => `${role}, ab dem Austausch an Stelle des anderen`,
  },
  statements: {
    headings: {
      traceability: "Rückführung",
      uncertainty: "Messunsicherheit",
      stability: "Zeitliche Gültigkeit",
      "decision-rule": "Entscheidungsregel",
      "global-risk": "Globales Risiko",
      deviations: "Abweichungen vom Verfahren",
      "customer-data": "Angaben des Kunden",
      accreditation: "Akkreditierung",
      scope: "Geltung der Ergebnisse",
      reproduction: "Vervielfältigung",
    },
    traceability: (of) =>
      `Die Temperaturen beziehen sich auf die Internationale Temperaturskala von 1990 (ITS-90). Die Referenztemperatur wurde durch das Referenzthermometer ${of.reference} dargestellt; seine Koeffizienten und deren Unsicherheit stammen aus dem Kalibrierschein ${of.referenceCertificate} vom ${of.referenceDay}, ${of.referenceLaboratory}. Sein Signal und das des Kalibriergegenstands wurden mit dem Messgerät ${of.readout} gemessen, Kalibrierschein ${of.readoutCertificate} vom ${of.readoutDay}, ${of.readoutLaboratory}. Über diese ununterbrochenen Ketten von Kalibrierungen sind die Ergebnisse auf das Internationale Einheitensystem (SI) rückgeführt.`,
    uncertainty: (coverage) =>
      `U ist die erweiterte Messunsicherheit der Messabweichung desselben Punktes. Sie ist die nach dem Leitfaden zur Angabe der Unsicherheit beim Messen (JCGM 100) ermittelte kombinierte Standardunsicherheit, multipliziert mit dem Erweiterungsfaktor k derselben Zeile, der bei den effektiven Freiheitsgraden dieses Punktes eine Überdeckungswahrscheinlichkeit von etwa ${coverage} ergibt. Sie enthält die Beiträge der Referenz, des Messgeräts, der Temperaturquelle, des noch ausstehenden Einschwingens sowie des kurzzeitigen Verhaltens und der Auflösung des Kalibriergegenstands.`,
    uncertaintyOfSwitch: (coverage) =>
      `U ist die erweiterte Messunsicherheit der Temperatur oder Schalthysterese in derselben Zeile. Sie ist die nach dem Leitfaden zur Angabe der Unsicherheit beim Messen (JCGM 100) ermittelte kombinierte Standardunsicherheit, multipliziert mit dem Erweiterungsfaktor k der Zeile, der bei ihren effektiven Freiheitsgraden eine Überdeckungswahrscheinlichkeit von etwa ${coverage} ergibt. Sie enthält die Beiträge der Referenz, des Messgeräts, der Temperaturquelle, der Zeit zwischen den Ablesungen auf der Rampe, des Verzugs des Schalters und seiner kurzzeitigen Wiederholpräzision; was beiden Schaltpunkten gemeinsam ist, hebt sich in der Schalthysterese auf.`,
    stability:
      "Die Messunsicherheit gehört zu den Werten zum Zeitpunkt und unter den Bedingungen der Kalibrierung. Sie enthält keinen Anteil für spätere Drift des Kalibriergegenstands oder für den Transport.",
    conformity: (rule) =>
      `Konformität wird für jeden Punkt der Ergebnistabellen ausgesagt, der eine Entscheidung trägt, gegen die beim Kalibriergegenstand genannte Spezifikation. ${rule}`,
    undecided:
      "Wo U zwischen den Annahmegrenzen keinen Raum lässt, ist keine Aussage möglich, und der Punkt heißt unentschieden; das ist keine Nichtkonformität.",
    ownRisk,
    rules: {
      simple: {
        name: "einfache Annahme",
        text: "Einfache Annahme ohne Schutzband (w = 0): Ein Punkt ist konform, wenn seine Messabweichung innerhalb der Toleranz liegt, Grenzen eingeschlossen, sonst nicht konform. Für eine Messabweichung genau auf einer Grenze erreicht das Risiko einer falschen Aussage 50 %. ",
      },
      guardBand: {
        name: (width) => `Schutzband ${width}`,
        text: (width) =>
          `Schutzband ${width} auf jeder Seite, U ist die erweiterte Messunsicherheit desselben Punktes: Ein Punkt ist konform, wenn seine Messabweichung innerhalb der Annahmegrenzen liegt, das sind die um w eingezogenen Grenzen der Toleranz, sonst nicht konform. `,
        bound:
          "Für einen konformen Punkt ist das Risiko, dass seine wahre Messabweichung außerhalb der Toleranz liegt, dann höchstens 2,5 % (ILAC-G8:09/2019). ",
      },
      specificRisk: {
        name: (limit) => `spezifisches Risiko höchstens ${limit}`,
        text: (limit) =>
          `Schutzband nach spezifischem Risiko: Ein Punkt ist konform, wenn die Wahrscheinlichkeit, dass seine wahre Messabweichung außerhalb der Toleranz liegt, allein aus dieser Messung höchstens ${limit} beträgt (JCGM 106:2012, 8.3.2), sonst nicht konform. Die Annahmegrenzen der Tabelle folgen aus dieser Wahrscheinlichkeit und der Unsicherheit des Punktes; beide Enden der Toleranz zählen. `,
      },
      nonBinary: {
        name: "nicht binäre Aussage mit Schutzband w = U",
        text: "Nicht binäre Aussage mit Schutzband w = U (ILAC-G8:09/2019, 4.2.3), U ist die erweiterte Messunsicherheit desselben Punktes. Konform: Die Messabweichung liegt innerhalb der Annahmegrenzen, das sind die um w eingezogenen Grenzen der Toleranz; das Risiko, dass die wahre Messabweichung außerhalb der Toleranz liegt, ist dann höchstens 2,5 %. Bedingt konform: Die Messabweichung liegt innerhalb der Toleranz, aber außerhalb der Annahmegrenzen; dieses Risiko beträgt bis zu 50 %. Bedingt nicht konform: Die Messabweichung liegt um höchstens w außerhalb der Toleranz; das Risiko, dass die wahre Messabweichung innerhalb liegt, beträgt bis zu 50 %. Nicht konform: Die Messabweichung liegt um mehr als w außerhalb; dieses Risiko ist dann höchstens 2,5 %. ",
      },
    },
    scope:
      "Die Ergebnisse beziehen sich nur auf die kalibrierten Gegenstände, wie sie in diesem Kalibrierschein bezeichnet sind.",
    reproduction:
      "Dieser Kalibrierschein darf nur vollständig wiedergegeben werden, sofern nicht das ausstellende Laboratorium schriftlich zugestimmt hat.",
    customerData: (things) =>
      `Der Kunde hat angegeben: ${things}. Das Laboratorium hat diese Angaben nicht ermittelt; sind sie falsch, kann auch die Konformitätsaussage falsch sein.`,
    customerThings: {
      tag: "die Messstellen der Kalibriergegenstände",
      place: "deren Einbauorte",
      range: "deren Einsatzbereiche",
      tolerance: "die Spezifikation, gegen die Konformität ausgesagt wird",
    },
    accreditation: {
      within: (text) => `Alle Ergebnisse liegen innerhalb des Akkreditierungsumfangs. ${text}`,
      outside:
        "Dieser Kalibrierschein wird außerhalb der Akkreditierung des Laboratoriums ausgestellt: Nicht jedes Ergebnis liegt in ihrem Umfang.",
    },
    deviations: {
      none: "Keine vom Verfahren.",
      ended: (outcome, reason) =>
        `Der Lauf wurde vor seinem Ende ${outcome === "stopped" ? "angehalten" : "abgebrochen"}${reason === null ? "" : ` (${reason})`}.`,
      rejected: (count) =>
        `${count === 1 ? "Eine Ablesung wurde" : `${count} Ablesungen wurden`} verworfen, mit Begründung im Laufprotokoll.`,
      kitChange: (role, from, to, reason) =>
        `${kitRoles[role]} ${from} wurde während des Laufs durch ${to} ersetzt: ${reason}.`,
      ramps: (tag, pass) =>
        `${tag}: Nicht jede Rampe des Verfahrens hat ein Schalten ${passPhrase[pass]}; die Tabelle der Rampen nennt sie.`,
      points: (tag, pass) =>
        `${tag}: Nicht jeder Punkt des Verfahrens hat ein Ergebnis ${passPhrase[pass]}; die ohne Ergebnis stehen unter der Tabelle.`,
    },
    globalRisk: {
      text: (parts) =>
        `Für jeden Punkt die Wahrscheinlichkeit, bevor etwas gemessen ist, dass ein Gegenstand mit dieser Vorgeschichte angenommen wird, obwohl er nicht konform ist (Abnehmerrisiko), und dass er abgelehnt wird, obwohl er konform ist (Herstellerrisiko). Sie beurteilt die Regel und nicht den gemessenen Gegenstand; über diesen sprechen die Tabellen. ${parts}`,
      part: (tag, pass, prior, points) =>
        `${tag} ${pass.toLowerCase()}${prior}, Abnehmer- und Herstellerrisiko: ${points}.`,
      notStated: (place) => `${place} nicht angegeben`,
      stated: (place, consumer, producer) => `${place} ${consumer} und ${producer}`,
      prior: (whose, from, to, deviation) =>
        ` (Vorwissen: ${whose === "item" ? "frühere Messabweichungen des Gegenstands selbst" : "frühere Messabweichungen von Gegenständen seiner Art"} vom ${from} bis ${to}, Standardabweichung ${deviation} ohne den Anteil ihrer Messungen)`,
      spread: (least, most) => `${least} bis ${most}`,
    },
  },
  data: {
    job: "Auftrag",
    run: "Lauf",
    hash: "SHA-256 des Laufprotokolls",
    serial: "Seriennummer",
    tag: "Messstelle",
    item: "Gegenstand des Auftrags",
    notice: "Hinweis",
    place: "Ort der Kalibrierung",
    equipment: "Messmittel",
    certificate: "Kalibrierschein des Messmittels",
    certificateOf: (certificate, day, laboratory) => `Kalibrierschein ${certificate} vom ${day}, ${laboratory}`,
    validUntil: (day) => `Gültig bis ${day}`,
    characterised: (day) => `Charakterisiert ${day}`,
    unknown: "unbekannt",
    within: (halfWidth) => `innerhalb ±${halfWidth} um den Wert`,
    conformity: "Konformität",
    conformityNote: (rule) =>
      `Entscheidungsregel: ${rule}. noPass steht für einen Punkt ohne Konformitätsaussage; Grenzen, die es nicht gibt, sind NaN.`,
    acceptance: { lower: "Untere Annahmegrenze", upper: "Obere Annahmegrenze" },
    tolerance: { lower: "Untere Toleranzgrenze", upper: "Obere Toleranzgrenze" },
    agreedTemperature: "Vereinbarte Temperatur",
    agreedDeviation: "Abweichung von der vereinbarten Temperatur",
    nothing: "Kein Punkt in diesem Zustand hat ein Ergebnis.",
    reference: "Referenztemperatur",
    calibrationPoint: "Kalibrierpunkt",
    indication: "Anzeige des Kalibriergegenstands",
    error: "Messabweichung der Anzeige",
    inUnit: (symbol, unit) => `${symbol} in ${unit}`,
    coverage: (k, probability) => `k = ${k}, Überdeckungswahrscheinlichkeit ${probability}`,
    previous: "Kalibrierschein, den dieser ersetzt",
    people: { technician: "kalibriert von", authorised: "freigegeben von" },
  },
};

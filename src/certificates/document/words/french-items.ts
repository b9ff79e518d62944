import type { Words } from "./words.ts";

const directions = { rising: "à la montée", falling: "à la descente" } as const;
const actions = { opens: "s’ouvre", closes: "se ferme" } as const;
const ended = { stopped: "arrêté", failed: "interrompu", completed: "terminé", open: "ouvert" } as const;

export const frenchItems: Pick<Words, "item" | "results" | "fit" | "switch"> = {
  item: {
    heading: (tag) => `Objet ${tag}`,
    facts: {
      tag: "Repère",
      serial: "Numéro de série",
      description: "Désignation",
      model: "Modèle",
      place: "Emplacement",
      condition: "État à réception",
      sensor: "Capteur",
      junction: "Soudure de référence",
      specification: "Spécification",
      range: "Domaine d’emploi",
      immersion: "Immersion de l’objet",
      notCalibrated: "Non étalonné",
    },
    span: (lower, upper) => `de ${lower} à ${upper}`,
    sensor: {
      thermocouple: (type) => `Thermocouple de type ${type}, fonction de référence de l’IEC 60584-1`,
      thermocoupleDeviation: (type, coefficients) =>
        `Thermocouple de type ${type}, fonction de référence de l’IEC 60584-1 avec polynôme d’écart ${coefficients} (mV, puissances de t/°C à partir de 0)`,
      its90: (rtpw) =>
        `Thermomètre à résistance de platine, fonctions d’écart de l’EIT-90 (ITS-90), R(0,01 °C) = ${rtpw}`,
      callendarVanDusen: (coefficients) =>
        `Thermomètre à résistance de platine, équation de Callendar-Van Dusen, ${coefficients}`,
      thermistor: "Thermistance, équation de Steinhart-Hart",
      loop: (low, high, lower, upper) =>
        `Transmetteur de température, de ${low} à ${high} pour ${lower} à ${upper}, linéaire`,
      indication: "Thermomètre indicateur, lu en °C",
      switch: (action, trip, tripsOn) =>
        `Thermostat (contact de température), son contact ${actions[action]} quand la température monte, déclenchement à ${trip} ${directions[tripsOn]}`,
    },
    classes: {
      "iec-60584-1/1": "IEC 60584-1, classe de tolérance 1",
      "iec-60584-1/2": "IEC 60584-1, classe de tolérance 2",
      "iec-60584-1/3": "IEC 60584-1, classe de tolérance 3",
      "astm-e230/standard": "ASTM E230, tolérance normale",
      "astm-e230/special": "ASTM E230, tolérance spéciale",
      "iec-60751/AA": "IEC 60751, classe AA",
      "iec-60751/A": "IEC 60751, classe A",
      "iec-60751/B": "IEC 60751, classe B",
      "iec-60751/C": "IEC 60751, classe C",
    },
    tolerance: {
      ofReading: (percent) => `${percent} de la température en °C`,
      ofSpan: (percent) => `${percent} de l’étendue`,
      table: (rows) => `${rows}, linéaire entre ces points`,
      tableRow: (kelvin, temperature) => `${kelvin} à ${temperature}`,
      larger: (parts) => `la plus grande valeur parmi ${parts}`,
      sum: (parts) => `la somme de ${parts}`,
      agreed: (tolerance) => `${tolerance}, convenu avec le client`,
      trip: (kelvin, temperature) => `${kelvin} pour le déclenchement à ${temperature}`,
      reset: (kelvin, temperature) => `; ${kelvin} pour le réarmement à ${temperature}`,
      deadBand: (minimum, maximum) => `; bande morte de ${minimum} à ${maximum}`,
    },
    junction: {
      ice: (value) => `Point de glace, ${value}`,
      channel: (name, halfWidth) => `Mesurée sur la voie ${name}, ${halfWidth}`,
    },
    notCalibrated: {
      sensor:
        "Le capteur a été étalonné avec ses propres conducteurs. L’instrument et le câble auxquels il est relié en service ne l’ont pas été.",
      loop: "Le transmetteur a été étalonné avec son capteur, par son courant de boucle. L’entrée, l’afficheur et le système de conduite qui reçoivent ce courant en service ne l’ont pas été.",
      indication:
        "Le thermomètre a été étalonné par son propre affichage. Les sorties de signal, les alarmes et l’enregistrement ne l’ont pas été.",
      switch:
        "Le contact de température a été étalonné par son contact, dans une source de température. Ce sur quoi le contact agit en service (relais, verrouillage, alarme) ne l’a pas été, ni sa charge ou son pouvoir de coupure.",
    },
    adjustment: {
      coefficients: (sensor, by) =>
        `De nouveaux coefficients ont été déterminés à partir des résultats avant ajustage et valent pour les résultats après ajustage : ${sensor}. Confirmé par ${by}.`,
      none: "L’objet n’a pas été ajusté entre les résultats tels que trouvés et tels que laissés.",
      zeroAndSpan: (zero, span) =>
        `L’objet a été ajusté entre les résultats tels que trouvés et tels que laissés : son indication a été changée de ${zero} à l’extrémité inférieure de son domaine, et de ${span} de plus sur l’étendue.`,
      by: (by) => ` Ajusté par ${by}.`,
      byAllowed: (by, allowed) => ` Ajusté par ${by}, avec la permission de ${allowed}.`,
    },
    picture: {
      heading: "Erreurs et leur incertitude",
      alt: (tag, lines) =>
        `Erreurs de ${tag} en fonction de la température, avec l’incertitude élargie, par rapport à la tolérance. ${lines}`,
      altPoint: (error, U, temperature) => `${error} avec U = ${U} à ${temperature}`,
      bars: "Les barres montrent l’incertitude élargie U ; plus petites que le symbole, elles sont derrière lui.",
      joinedLimits: "Les limites sont reliées par des droites entre les points.",
      noTolerance: "Aucune tolérance ne s’applique à ces points.",
      guardOfLeft: "La bande de garde dessinée est celle des résultats tels que laissés.",
      x: "Température (EIT-90) / °C",
      y: "Erreur d’indication / K",
      withinAcceptance: "Dans les limites d’acceptation",
      withinTolerance: "Dans la tolérance",
      guard: "Bande de garde",
    },
  },
  results: {
    columns: {
      nominal: "Point",
      reference: "Référence",
      indication: "Indication",
      error: "Erreur",
      tolerance: "Tolérance",
      acceptance: "Acceptation",
      risk: "Risque",
      decision: "Décision",
    },
    unmeasured: {
      skipped: { one: "a été omis", many: "ont été omis" },
      "not-measured": { one: "n’a pas été mesuré", many: "n’ont pas été mesurés" },
      flagged: {
        one: "n’a pas de résultat, son signal étant défectueux",
        many: "n’ont pas de résultat, le signal étant défectueux",
      },
    },
    point: (place, verb, reason) => `Le point à ${place} ${verb} : ${reason}`,
    points: (places, verb, reason) => `Les points à ${places} ${verb} : ${reason}`,
    unstated: (place, reason) => `Aucune conformité n’est déclarée à ${place} : ${reason}`,
    noTolerance: "aucune tolérance ne s’applique",
    repeated: (place, reason) => `Le point à ${place} a été mesuré de nouveau : ${reason}`,
    unfitted: (reason) => `Aucune équation n’a été ajustée : ${reason}`,
    hysteresis: (place, difference, U) =>
      `${place} a été atteint en montant et en descendant : descente moins montée ${difference} ± ${U} ; la moitié de part et d’autre y fait partie de U.`,
    added: (place, reason) => `Le point à ${place} a été ajouté à ceux de la méthode : ${reason}.`,
    outside: (places) => `Les résultats à ${places} sont hors de la portée d’accréditation du laboratoire.`,
    notReached: (outcome, reason) =>
      `Non atteint avant la fin du cycle (${ended[outcome]}${reason === null ? "" : ` : ${reason}`}).`,
    notRepeated: (reason) => `À répéter (${reason}), mais non mesuré de nouveau.`,
    inEnglish: (text) => `(texte de l’évaluation, en anglais) ${text}`,
    evidence: {
      heading: "Comment chaque point a été tenu",
      pass: "État",
      point: "Point / °C",
      readings: "Lectures",
      signal: "Signal moyen de l’objet",
      remainder: "Restant à stabiliser, au plus / K",
      target: "Cible / K",
      notRecorded: "non enregistré",
    },
    check: {
      iceHolds: (serial, difference, limit) =>
        `À la fin du cycle, la référence ${serial} s’écartait de ${difference} au point de glace, dans la limite de ${limit}.`,
      iceFailed: (serial, difference, limit) =>
        `À la fin du cycle, la référence ${serial} s’écartait de ${difference} au point de glace, au-delà de la limite de ${limit} : ce qui a été mesuré avec elle est douteux.`,
      besideHolds: (serial, difference, limit, beside) =>
        `À la fin du cycle, la référence ${serial} s’écartait de ${difference} à côté ${beside}, dans la limite de ${limit}.`,
      besideFailed: (serial, difference, limit, beside) =>
        `À la fin du cycle, la référence ${serial} s’écartait de ${difference} à côté ${beside}, au-delà de la limite de ${limit} : ce qui a été mesuré avec elle est douteux.`,
      besideOf: (serial, certificate) => `du thermomètre de contrôle ${serial} (${certificate})`,
      weak: " Le contrôle lui-même est moins sûr que la limite et prouve donc peu.",
      notMade: "Le contrôle final était prévu, mais n’a pas été fait.",
      leftOut: (reason) => `Le contrôle final a été omis : ${reason}.`,
      firstHolds: (pass, differences, limit) =>
        `Répété à la fin (${pass}), le premier point différait de : ${differences} ; dans la limite de ${limit}.`,
      firstFailed: (pass, differences, limit) =>
        `Répété à la fin (${pass}), le premier point différait de : ${differences} ; la limite est ${limit}, les points intermédiaires sont donc douteux.`,
      firstNotMade: (pass) =>
        `Le premier point devait être répété à la fin (${pass}), mais il n’a pas été mesuré les deux fois.`,
    },
  },
  fit: {
    headingOf: {
      "as-found": "Équation de l’objet tel que trouvé, avant tout ajustage",
      "as-left": "Équation de l’objet tel que laissé",
    },
    aboveAluminium: "au-dessus du point de l’aluminium",
    callendarVanDusen: (equation) =>
      `${equation} ; équation de Callendar-Van Dusen de l’IEC\u00a060751, t en °C, R en Ω.`,
    callendarVanDusenBelow: (equation) =>
      `${equation}, le terme avec C seulement au-dessous de 0 °C ; équation de Callendar-Van Dusen de l’IEC\u00a060751, t en °C, R en Ω.`,
    its90: (equation, subrange) =>
      `${equation} ; fonction d’écart de l’Échelle internationale de température de 1990 dans son sous-domaine ${subrange}, R en Ω.`,
    deviation: (equation, type) =>
      `${equation}, E′ étant la fonction de référence de l’IEC\u00a060584-1 pour le type ${type} ; t en °C, E en mV avec la soudure de référence à 0 °C.`,
    polynomial: (equation, unit, junction) =>
      `Le signal à t en °C est ${equation}, en ${unit}${junction ? ", avec la soudure de référence à 0 °C" : ""}.`,
    columns: { coefficient: "Coefficient", value: "Valeur", uncertainty: "Incertitude-type", unit: "Unité" },
    quality: (points, left, largest, at) =>
      `Ajustée par moindres carrés pondérés à ${points} points, ${left}. Le plus grand résidu est de ${largest}, à ${at}.`,
    nothingLeft: "de sorte qu’il ne reste rien pour juger l’ajustement",
    degrees: (count) => (count === 1 ? "un degré de liberté restant" : `${count} degrés de liberté restants`),
    scatter: (times) =>
      ` Les points se dispersent autour de la courbe ${times} fois autant que leurs propres incertitudes le font attendre.`,
    tableHeading: (lower, upper) => `Table de ${lower} à ${upper}`,
    tableNote: (k, coverage) =>
      `Ce que donne l’équation. U est l’incertitude élargie de la courbe ajustée à cette température (k = ${k}, probabilité de couverture d’environ ${coverage}) ; elle contient en entier ce que tous les points ont en commun. Elle appartient à l’objet tel qu’étalonné et ne contient pas l’incertitude des mesures faites ensuite avec lui. Entre les lignes, utiliser l’équation.`,
    signal: "Signal",
  },
  switch: {
    action: "Action",
    agreed: "Convenu",
    measured: "Mesuré",
    deviation: "Écart",
    limits: "Limites",
    deadBand: "Bande morte",
    change: (role, contact, direction) =>
      `${role === "trip" ? "Déclenchement" : "Réarmement"} : ${actions[contact]}, ${directions[direction]}`,
    between: (lower, upper) => `${lower} à ${upper}`,
    lagDeclared: (seconds) =>
      `Les températures sont corrigées de la rampe : le contact suit la référence avec ${seconds} de retard, comme déclaré.`,
    lagTwoRates: (seconds, u) =>
      `Les températures valent au repos : de rampes à deux vitesses, il résulte que le contact suit la référence avec ${seconds} de retard (incertitude-type ${u}), et son effet est retranché.`,
    lagBounded: (seconds) =>
      `L’effet de la rampe n’est pas corrigé ; un retard du contact sur la référence allant jusqu’à ${seconds} figure dans l’incertitude.`,
    noResult: (name, reason) => `${name} : pas de résultat. ${reason}`,
    noDeadBand: (reason) => `La bande morte n’a pas de résultat : ${reason}`,
    unstated: (name, reason) => `${name} : aucune conformité n’est déclarée. ${reason}`,
    noLimits: "Aucune limite n’est convenue.",
    ramp: (cycle, direction) => `${cycle}, ${directions[direction]}`,
    rampNote: (ramp, reason) => `Rampe ${ramp} : ${reason}`,
    leftOut: "omise.",
    unchanged: "Le contact n’a pas changé sur la rampe.",
    needsBoth: "Elle demande les changements dans les deux sens.",
    evidence: {
      heading: "Ce que le contact a fait sur chaque rampe",
      ramp: "Rampe",
      rate: "Vitesse / (K/min)",
      contact: "Contact",
      reference: "Référence lue / °C",
      between: "Entre / s",
    },
    changed: (bounces) => `a changé${bounces === 0 ? "" : `, ${bounces} rebond${bounces === 1 ? "" : "s"}`}`,
    states: {
      "no-change": "n’a pas changé",
      flagged: "défectueux",
      skipped: "omise",
      "not-measured": "non lu",
    },
  },
};

import { frenchItems } from "./french-items.ts";
import { writtenDay } from "./written-day.ts";
import type { Words } from "./words.ts";

const months = [
  "janvier",
  "février",
  "mars",
  "avril",
  "mai",
  "juin",
  "juillet",
  "août",
  "septembre",
  "octobre",
  "novembre",
  "décembre",
] as const;

const passPhrase = { "as-found": "tel que trouvé, avant tout ajustage", "as-left": "tel que laissé" } as const;
const kitRoles = { reference: "La référence", readout: "L’indicateur", source: "La source" } as const;
const ownRisk =
  "Pour chaque point, le tableau donne le risque spécifique que sa propre déclaration soit fausse, pour une erreur de distribution normale (avec peu de degrés de liberté, selon la loi de Student) et d’incertitude-type U/k.";

/** Every word of a French certificate; terms as in the VIM's French text and NF EN ISO/IEC 17025 (from memory). */
export const french: Words = {
  ...frenchItems,
  paper: {
    title: "Certificat d’étalonnage",
    labels: {
      number: "Numéro du certificat",
      laboratory: "Étalonné par",
      customer: "Pour",
      summary: "Déclaration de conformité",
      item: "Objet",
      serial: "Numéro de série",
      results: "Résultats",
      conditions: "Méthode et conditions",
      traceability: "Traçabilité et équipements",
      statements: "Déclarations",
      record: "Enregistrement",
      authorisation: "Autorisation",
      calibratedBy: "Étalonnage effectué par",
      authorisedBy: "Autorisé par",
      signature: "Signature",
      date: "Date d’émission",
      equipment: "Équipement",
      certificate: "Certificat",
      calibrated: "Étalonné",
      due: "Valable jusqu’au",
      page: "Page",
      of: "sur",
      end: "Fin du certificat",
      adjustment: "Ajustage",
      notCalibrated: "Non étalonné",
      description: "Désignation",
      attachment: "Le même certificat pour machines : Digital Calibration Certificate 3.3.0",
      amendment: "Modification",
      logo: "Logo du laboratoire",
      changed: "modifié",
      symbol: "Symbole d’accréditation",
    },
    bands: {
      rehearsal: "Répétition sur un banc simulé — n’est pas un certificat d’étalonnage",
      preview: "Aperçu — non émis",
      unfit: "Impropre à l’émission — la vérification préalable a trouvé des obstacles",
      withdrawn: (day, reason) => `Retiré le ${day} : ${reason}`,
      replaced: (number, day) => `Remplacé le ${day} par le certificat ${number}`,
    },
    day: writtenDay((day, month, year) => `${day === 1 ? "1er" : day} ${months[month - 1]} ${year}`),
    and: (parts) => (parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} et ${parts.at(-1)!}`),
    facts: {
      calibrated: "Date d’étalonnage",
      received: "Date de réception",
      issued: "Date d’émission",
      place: "Lieu d’étalonnage",
      method: "Méthode",
      job: "Commande",
      due: "Prochain étalonnage",
      dueAgreed: (day, agreedWith) => `${day}, convenu avec ${agreedWith}`,
      period: (begun, ended) => `du ${begun} au ${ended}`,
      methodOf: (identifier, revision) => `${identifier}, révision ${revision}`,
      methodTitled: (identifier, revision, title) => `${identifier}, révision ${revision} : ${title}`,
    },
    record: {
      run: "Cycle",
      job: "Commande",
      opened: "Ouvert",
      utc: (moment) => `${moment} (UTC)`,
      software: "Logiciel",
      seed: "Graine du banc",
      hash: "SHA-256 du journal du cycle",
    },
    summaryNote: (rule) =>
      `La décision la plus défavorable sur les points de chaque état, selon la règle « ${rule} », décrite dans la section Déclarations.`,
    passNames: { "as-found": "Trouvé", "as-left": "Laissé" },
    resultsOf: {
      "as-found": "Résultats tel que trouvé, avant tout ajustage",
      "as-left": "Résultats tel que laissé",
    },
    decisions: {
      pass: "Conforme",
      "conditional-pass": "Conforme sous condition",
      undecided: "Non décidé",
      "conditional-fail": "Non conforme sous condition",
      fail: "Non conforme",
      none: "Sans déclaration",
    },
    languages: { en: "anglais", de: "allemand", es: "espagnol", fr: "français" },
    translation: (binding) =>
      `Ceci est le texte français du même certificat. Si les langues diffèrent, le texte ${binding} fait foi.`,
    amendment: {
      text: (number, day, reason) =>
        `Ce certificat est une modification du certificat ${number} du ${day} et le remplace. Motif : ${reason}`,
      columns: { what: "Ce qui change", before: "Avant", after: "Maintenant" },
      languages: "Langues",
      noChange: "Aucun chiffre des résultats ne change.",
      nothing: "non déclaré",
      person: "Autorisé par",
      results: (tag, pass, point) => `${tag}, ${pass}, ${point}`,
    },
    label: {
      calibrated: "Étalonné",
      certificate: "Certificat",
      result: "Résultat",
      due: "Prochain étalonnage",
      serial: "N° de série",
    },
  },
  conditions: {
    method: "Méthode",
    principle: "Principe",
    sources: { bath: "un bain agité", "dry-block": "un four à bloc sec", furnace: "un four" },
    comparison: (source) =>
      `Comparaison à un thermomètre de référence dans ${source}. L’erreur est l’indication de l’objet moins la température de référence, à partir de lectures simultanées des deux.`,
    points: "Points",
    visited: (order) => `Parcourus ${order}.`,
    orders: {
      one: "en un seul point",
      rising: "par ordre croissant",
      falling: "par ordre décroissant",
      table: "dans l’ordre du tableau",
    },
    readings: "Lectures",
    readingsOf: (count, interval) => `${count} lectures de chaque voie à chaque point, espacées de ${interval}.`,
    byHandOf: (what, count, interval) =>
      `${what === null ? "Étalon" : what} lu à l’œil et saisi : ${count} lectures à chaque point, espacées de ${interval}, davantage si elles ne montraient pas encore le repos.`,
    wiredBeside: "Les voies câblées ont été lues en continu.",
    settling: "Stabilisation",
    settlingOf: (limit, window) =>
      `Les lectures ont commencé quand la différence entre l’objet et la référence était stabilisée : ce qui manquait encore, avec l’incertitude de cette différence, devait rester dans ${limit}, jugé sur ${window} ou plus. Ce qu’il en restait fait partie de l’incertitude.`,
    ofTolerance: (percent) => `${percent} de la tolérance`,
    ramps: "Rampes",
    rampPrinciple: (source) =>
      `La température dans ${source} a été menée lentement au-delà du changement du contact, dans les deux sens, à côté d’un thermomètre de référence. La température d’un changement est celle de la référence à cet instant, interpolée entre les lectures d’avant et d’après ; les rebonds comptent dans le temps qui les sépare.`,
    rampsOf: (times, rates, by, soak) =>
      `${times === 1 ? "une fois" : `${times} fois`} dans chaque sens, à ${rates}, ${by}, après un repos de ${soak}.`,
    byRamp: "par la rampe propre de la source",
    bySteps: (step) => `en déplaçant la consigne par pas de ${step} ou guère plus`,
    rampReadings: (interval) => `Le contact et la référence ont été lus toutes les ${interval}.`,
    change: "Changement",
    changeOf: (hold) =>
      `Un changement compte quand le contact est resté ${hold} ; la bande morte est le changement à la montée moins le changement à la descente.`,
    ambient: "Température ambiante",
    humidity: "Humidité relative",
    referenceImmersed: "Immersion de la référence",
    itemImmersed: (tag) => `Profondeur d’immersion de ${tag}`,
    remarks: "Remarques",
    roles: { reference: "Thermomètre de référence", readout: "Indicateur", source: "Source de température" },
    replacedRole: (role) => `${role}, à la place de l’autre depuis son remplacement`,
  },
  statements: {
    headings: {
      traceability: "Traçabilité",
      uncertainty: "Incertitude",
      stability: "Validité dans le temps",
      "decision-rule": "Règle de décision",
      "global-risk": "Risque global",
      deviations: "Écarts à la méthode",
      "customer-data": "Données du client",
      accreditation: "Accréditation",
      scope: "Portée des résultats",
      reproduction: "Reproduction",
    },
    traceability: (of) =>
      `Les températures sont exprimées dans l’Échelle internationale de température de 1990 (EIT-90, ITS-90). La température de référence a été réalisée par le thermomètre de référence ${of.reference} ; ses coefficients et leur incertitude proviennent du certificat ${of.referenceCertificate} du ${of.referenceDay}, ${of.referenceLaboratory}. Son signal et celui de l’objet ont été mesurés avec l’indicateur ${of.readout}, certificat ${of.readoutCertificate} du ${of.readoutDay}, ${of.readoutLaboratory}. Par ces chaînes ininterrompues d’étalonnages, les résultats sont traçables au Système international d’unités (SI).`,
    uncertainty: (coverage) =>
      `U est l’incertitude élargie de l’erreur du même point. C’est l’incertitude-type composée, obtenue selon le Guide pour l’expression de l’incertitude de mesure (JCGM 100), multipliée par le facteur d’élargissement k de la même ligne, qui donne une probabilité de couverture d’environ ${coverage} pour le nombre effectif de degrés de liberté de ce point. Elle contient les contributions de la référence, de l’indicateur, de la source de température, de ce qui restait à stabiliser, ainsi que du comportement à court terme et de la résolution de l’objet lui-même.`,
    uncertaintyOfSwitch: (coverage) =>
      `U est l’incertitude élargie de la température ou de la bande morte de la même ligne. C’est l’incertitude-type composée, obtenue selon le Guide pour l’expression de l’incertitude de mesure (JCGM 100), multipliée par le facteur d’élargissement k de la ligne, qui donne une probabilité de couverture d’environ ${coverage} pour son nombre effectif de degrés de liberté. Elle contient les contributions de la référence, de l’indicateur, de la source de température, du temps entre lectures sur la rampe, du retard du contact et de sa répétabilité à court terme ; ce qui est commun aux deux changements s’annule dans la bande morte.`,
    stability:
      "L’incertitude se rapporte aux valeurs au moment et dans les conditions de l’étalonnage. Elle ne contient rien pour la dérive ultérieure de l’objet ni pour le transport.",
    conformity: (rule) =>
      `La conformité est déclarée pour chaque point des tableaux de résultats portant une décision, par rapport à la spécification indiquée avec l’objet. ${rule}`,
    undecided:
      "Là où U ne laisse pas de place entre les limites d’acceptation, aucune déclaration n’est possible et le point est dit non décidé ; ce n’est pas une non-conformité.",
    ownRisk,
    rules: {
      simple: {
        name: "acceptation simple",
        text: "Acceptation simple, sans bande de garde (w = 0) : un point est conforme si son erreur est dans la tolérance, limites comprises, et non conforme sinon. Pour une erreur exactement sur une limite, le risque d’une déclaration fausse atteint 50 %. ",
      },
      guardBand: {
        name: (width) => `bande de garde ${width}`,
        text: (width) =>
          `Bande de garde ${width} de chaque côté, U étant l’incertitude élargie du même point : un point est conforme si son erreur est dans les limites d’acceptation, qui sont les limites de la tolérance resserrées de w, et non conforme sinon. `,
        bound:
          "Pour un point conforme, le risque que son erreur vraie soit hors de la tolérance est alors de 2,5 % au plus (ILAC-G8:09/2019). ",
      },
      specificRisk: {
        name: (limit) => `risque spécifique de ${limit} au plus`,
        text: (limit) =>
          `Bande de garde par risque spécifique : un point est conforme si la probabilité que son erreur vraie soit hors de la tolérance est de ${limit} au plus, compte tenu de cette seule mesure (JCGM 106:2012, 8.3.2), et non conforme sinon. Les limites d’acceptation du tableau découlent de cette probabilité et de l’incertitude du point ; les deux extrémités de la tolérance comptent. `,
      },
      nonBinary: {
        name: "déclaration non binaire avec bande de garde w = U",
        text: "Déclaration non binaire avec bande de garde w = U (ILAC-G8:09/2019, 4.2.3), U étant l’incertitude élargie du même point. Conforme : l’erreur est dans les limites d’acceptation, qui sont les limites de la tolérance resserrées de w ; le risque que l’erreur vraie soit hors de la tolérance est alors de 2,5 % au plus. Conforme sous condition : l’erreur est dans la tolérance mais hors des limites d’acceptation ; ce risque va jusqu’à 50 %. Non conforme sous condition : l’erreur est hors de la tolérance de w au plus ; le risque que l’erreur vraie soit dans la tolérance va jusqu’à 50 %. Non conforme : l’erreur est hors de la tolérance de plus de w ; ce risque est alors de 2,5 % au plus. ",
      },
    },
    scope: "Les résultats ne se rapportent qu’aux objets étalonnés, tels qu’identifiés dans ce certificat.",
    reproduction: "Ce certificat ne peut être reproduit qu’en entier, sauf accord écrit du laboratoire qui l’a émis.",
    customerData: (things) =>
      `Le client a fourni ${things}. Le laboratoire ne les a pas déterminés ; s’ils sont faux, la déclaration de conformité peut l’être aussi.`,
    customerThings: {
      tag: "les repères des objets",
      place: "leurs emplacements",
      range: "leurs domaines d’emploi",
      tolerance: "la spécification par rapport à laquelle la conformité est déclarée",
    },
    accreditation: {
      within: (text) => `Tous les résultats sont dans la portée d’accréditation. ${text}`,
      outside:
        "Ce certificat est émis hors de l’accréditation du laboratoire : tous les résultats ne sont pas dans sa portée.",
    },
    deviations: {
      none: "Aucun par rapport à la méthode.",
      ended: (outcome, reason) =>
        `Le cycle a été ${outcome === "stopped" ? "arrêté" : "interrompu"} avant sa fin${reason === null ? "" : ` (${reason})`}.`,
      rejected: (count) =>
        `${count === 1 ? "Une lecture a été rejetée" : `${count} lectures ont été rejetées`}, avec le motif dans le journal du cycle.`,
      kitChange: (role, from, to, reason) =>
        `${kitRoles[role]} ${from} a été remplacé(e) pendant le cycle par ${to} : ${reason}.`,
      ramps: (tag, pass) =>
        `${tag} : toutes les rampes de la méthode n’ont pas de changement ${passPhrase[pass]} ; le tableau des rampes dit lesquelles.`,
      points: (tag, pass) =>
        `${tag} : tous les points de la méthode n’ont pas de résultat ${passPhrase[pass]} ; ceux qui n’en ont pas sont nommés sous le tableau.`,
    },
    globalRisk: {
      text: (parts) =>
        `Pour chaque point, la probabilité, avant toute mesure, qu’un objet ayant cet historique soit accepté sans être conforme (risque du client) et qu’il soit rejeté tout en étant conforme (risque du fournisseur). Elle juge la règle et non l’objet mesuré ; de lui parlent les tableaux. ${parts}`,
      part: (tag, pass, prior, points) =>
        `${tag} ${pass.toLowerCase()}${prior}, risque du client et du fournisseur : ${points}.`,
      notStated: (place) => `${place} non déclaré`,
      stated: (place, consumer, producer) => `${place} ${consumer} et ${producer}`,
      prior: (whose, from, to, deviation) =>
        ` (information préalable : ${whose === "item" ? "erreurs antérieures de l’objet lui-même" : "erreurs antérieures d’objets de sa classe"} du ${from} au ${to}, écart-type ${deviation} sans la part de leurs mesures)`,
      spread: (least, most) => `${least} à ${most}`,
    },
  },
  data: {
    job: "Commande",
    run: "Cycle",
    hash: "SHA-256 du journal du cycle",
    serial: "Numéro de série",
    tag: "Repère",
    item: "Objet de la commande",
    notice: "Avis",
    place: "Lieu d’étalonnage",
    equipment: "Équipement",
    certificate: "Certificat de son étalonnage",
    certificateOf: (certificate, day, laboratory) => `Certificat ${certificate} du ${day}, ${laboratory}`,
    validUntil: (day) => `Valable jusqu’au ${day}`,
    characterised: (day) => `Caractérisé ${day}`,
    unknown: "inconnu",
    within: (halfWidth) => `à ±${halfWidth} de la valeur`,
    conformity: "Conformité",
    conformityNote: (rule) =>
      `Règle de décision : ${rule}. noPass désigne un point sans déclaration de conformité ; les limites qui n’existent pas sont NaN.`,
    acceptance: { lower: "Limite inférieure d’acceptation", upper: "Limite supérieure d’acceptation" },
    tolerance: { lower: "Limite inférieure de la tolérance", upper: "Limite supérieure de la tolérance" },
    agreedTemperature: "Température convenue",
    agreedDeviation: "Écart à la température convenue",
    nothing: "Aucun point de cet état n’a de résultat.",
    reference: "Température de référence",
    calibrationPoint: "Point d’étalonnage",
    indication: "Indication de l’objet",
    error: "Erreur d’indication",
    inUnit: (symbol, unit) => `${symbol} en ${unit}`,
    coverage: (k, probability) => `k = ${k}, probabilité de couverture ${probability}`,
    previous: "Certificat que celui-ci remplace",
    people: { technician: "étalonné par", authorised: "autorisé par" },
  },
};

import { spanishItems } from "./spanish-items.ts";
import { writtenDay } from "./written-day.ts";
import type { Words } from "./words.ts";

const months = [
  "enero",
  "febrero",
  "marzo",
  "abril",
  "mayo",
  "junio",
  "julio",
  "agosto",
  "septiembre",
  "octubre",
  "noviembre",
  "diciembre",
] as const;

const passPhrase = { "as-found": "como se encontró, antes de todo ajuste", "as-left": "como se dejó" } as const;
const kitRoles = { reference: "La referencia", readout: "El indicador", source: "La fuente" } as const;
const ownRisk =
  "Para cada punto la tabla indica el riesgo específico de que su propia declaración sea errónea, para un error con distribución normal (con pocos grados de libertad, según la distribución de Student) y la incertidumbre típica U/k.";

/** Every word of a Spanish certificate; terms as in the VIM's Spanish edition and UNE-EN ISO/IEC 17025 (from memory). */
export const spanish: Words = {
  ...spanishItems,
  paper: {
    title: "Certificado de calibración",
    labels: {
      number: "Número de certificado",
      laboratory: "Calibrado por",
      customer: "Para",
      summary: "Declaración de conformidad",
      item: "Objeto",
      serial: "Número de serie",
      results: "Resultados",
      conditions: "Método y condiciones",
      traceability: "Trazabilidad y equipos",
      statements: "Declaraciones",
      record: "Registro",
      authorisation: "Autorización",
      calibratedBy: "Calibración realizada por",
      authorisedBy: "Autorizado por",
      signature: "Firma",
      date: "Fecha de emisión",
      equipment: "Equipo",
      certificate: "Certificado",
      calibrated: "Calibrado",
      due: "Válido hasta",
      page: "Página",
      of: "de",
      end: "Fin del certificado",
      adjustment: "Ajuste",
      notCalibrated: "No calibrado",
      description: "Descripción",
      attachment: "El mismo certificado para máquinas: Digital Calibration Certificate 3.3.0",
      amendment: "Modificación",
      logo: "Logotipo del laboratorio",
      changed: "cambiado",
      symbol: "Símbolo de acreditación",
    },
    bands: {
      rehearsal: "Ensayo en un banco simulado — no es un certificado de calibración",
      preview: "Vista previa — no emitido",
      unfit: "No apto para emisión — la comprobación previa encontró impedimentos",
      withdrawn: (day, reason) => `Retirado el ${day}: ${reason}`,
      replaced: (number, day) => `Sustituido el ${day} por el certificado ${number}`,
    },
    day: writtenDay((day, month, year) => `${day} de ${months[month - 1]} de ${year}`),
    and: (parts) => (parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} y ${parts.at(-1)!}`),
    facts: {
      calibrated: "Fecha de calibración",
      received: "Fecha de recepción",
      issued: "Fecha de emisión",
      place: "Lugar de calibración",
      method: "Método",
      job: "Encargo",
      due: "Próxima calibración",
      dueAgreed: (day, agreedWith) => `${day}, acordada con ${agreedWith}`,
      period: (begun, ended) => `del ${begun} al ${ended}`,
      methodOf: (identifier, revision) => `${identifier}, revisión ${revision}`,
      methodTitled: (identifier, revision, title) => `${identifier}, revisión ${revision}: ${title}`,
    },
    record: {
      run: "Proceso",
      job: "Encargo",
      opened: "Iniciado",
      utc: (moment) => `${moment} (UTC)`,
      software: "Software",
      seed: "Semilla del banco",
      hash: "SHA-256 del registro del proceso",
    },
    summaryNote: (rule) =>
      `La peor decisión sobre los puntos de cada estado, según la regla «${rule}», descrita en el apartado Declaraciones.`,
    passNames: { "as-found": "Encontrado", "as-left": "Final" },
    resultsOf: {
      "as-found": "Resultados como se encontró, antes de todo ajuste",
      "as-left": "Resultados como se dejó",
    },
    decisions: {
      pass: "Conforme",
      "conditional-pass": "Conforme condicional",
      undecided: "Sin decidir",
      "conditional-fail": "No conforme condicional",
      fail: "No conforme",
      none: "Sin declaración",
    },
    languages: { en: "inglés", de: "alemán", es: "español", fr: "francés" },
    translation: (binding) =>
      `Este es el texto en español del mismo certificado. Si los idiomas difieren, vale el texto ${binding}.`,
    amendment: {
      text: (number, day, reason) =>
        `Este certificado es una modificación del certificado ${number} del ${day} y lo sustituye. Motivo: ${reason}`,
      columns: { what: "Qué cambia", before: "Antes", after: "Ahora" },
      languages: "Idiomas",
      noChange: "Ninguna cifra de los resultados cambia.",
      nothing: "no declarado",
      person: "Autorizado por",
      results: (tag, pass, point) => `${tag}, ${pass}, ${point}`,
    },
    label: {
      calibrated: "Calibrado",
      certificate: "Certificado",
      result: "Resultado",
      due: "Próxima calibración",
      serial: "N.º de serie",
    },
  },
  conditions: {
    method: "Método",
    principle: "Principio",
    sources: { bath: "un baño agitado", "dry-block": "un bloque seco", furnace: "un horno" },
    comparison: (source) =>
      `Comparación con un termómetro de referencia en ${source}. El error es la indicación del objeto menos la temperatura de referencia, a partir de lecturas simultáneas de ambos.`,
    points: "Puntos",
    visited: (order) => `Recorridos ${order}.`,
    orders: {
      one: "en un solo punto",
      rising: "en orden creciente",
      falling: "en orden decreciente",
      table: "en el orden de la tabla",
    },
    readings: "Lecturas",
    readingsOf: (count, interval) => `${count} lecturas de cada canal en cada punto, separadas ${interval}.`,
    byHandOf: (what, count, interval) =>
      `${what === null ? "Patrón" : what} leído a la vista e introducido a mano: ${count} lecturas en cada punto, separadas ${interval}, más donde aún no mostraban reposo.`,
    wiredBeside: "Los canales cableados se leyeron de forma continua.",
    settling: "Estabilización",
    settlingOf: (limit, window) =>
      `Las lecturas empezaron cuando la diferencia entre objeto y referencia se había estabilizado: lo que aún faltaba, junto con la incertidumbre de esa diferencia, debía quedar dentro de ${limit}, juzgado durante ${window} o más. Lo que quedó de ello forma parte de la incertidumbre.`,
    ofTolerance: (percent) => `${percent} de la tolerancia`,
    ramps: "Rampas",
    rampPrinciple: (source) =>
      `La temperatura de ${source} se llevó lentamente más allá del cambio del contacto, en ambos sentidos, junto a un termómetro de referencia. La temperatura de un cambio es la de la referencia en ese momento, interpolada entre las lecturas anterior y posterior; los rebotes cuentan en el tiempo entre ellas.`,
    rampsOf: (times, rates, by, soak) =>
      `${times === 1 ? "una vez" : `${times} veces`} en cada sentido, a ${rates}, ${by}, tras un reposo de ${soak}.`,
    byRamp: "con la rampa propia de la fuente",
    bySteps: (step) => `moviendo la consigna en pasos de ${step} o poco más`,
    rampReadings: (interval) => `El contacto y la referencia se leyeron cada ${interval}.`,
    change: "Cambio",
    changeOf: (hold) =>
      `Un cambio cuenta cuando el contacto se ha mantenido ${hold}; la banda muerta es el cambio al subir menos el cambio al bajar.`,
    ambient: "Temperatura ambiente",
    humidity: "Humedad relativa",
    referenceImmersed: "Inmersión de la referencia",
    itemImmersed: (tag) => `Profundidad de inmersión de ${tag}`,
    remarks: "Observaciones",
    roles: { reference: "Termómetro de referencia", readout: "Indicador", source: "Fuente de temperatura" },
    replacedRole: (role) => `${role}, en lugar del otro desde su sustitución`,
  },
  statements: {
    headings: {
      traceability: "Trazabilidad",
      uncertainty: "Incertidumbre",
      stability: "Validez en el tiempo",
      "decision-rule": "Regla de decisión",
      "global-risk": "Riesgo global",
      deviations: "Desviaciones",
      "customer-data": "Datos del cliente",
      accreditation: "Acreditación",
      scope: "Alcance de los resultados",
      reproduction: "Reproducción",
    },
    traceability: (of) =>
      `Las temperaturas se refieren a la Escala Internacional de Temperatura de 1990 (EIT-90, ITS-90). La temperatura de referencia la materializó el termómetro de referencia ${of.reference}; sus coeficientes y la incertidumbre de estos proceden del certificado ${of.referenceCertificate} del ${of.referenceDay}, ${of.referenceLaboratory}. Su señal y la del objeto se midieron con el indicador ${of.readout}, certificado ${of.readoutCertificate} del ${of.readoutDay}, ${of.readoutLaboratory}. Por estas cadenas ininterrumpidas de calibraciones los resultados son trazables al Sistema Internacional de Unidades (SI).`,
    uncertainty: (coverage) =>
      `U es la incertidumbre expandida del error del mismo punto. Es la incertidumbre típica combinada, obtenida según la Guía para la expresión de la incertidumbre de medida (JCGM 100), multiplicada por el factor de cobertura k de la misma fila, que da una probabilidad de cobertura de aproximadamente ${coverage} para los grados efectivos de libertad de ese punto. Contiene las contribuciones de la referencia, del indicador, de la fuente de temperatura, de lo que faltaba por estabilizar y del comportamiento a corto plazo y la resolución del propio objeto.`,
    uncertaintyOfSwitch: (coverage) =>
      `U es la incertidumbre expandida de la temperatura o banda muerta de la misma fila. Es la incertidumbre típica combinada, obtenida según la Guía para la expresión de la incertidumbre de medida (JCGM 100), multiplicada por el factor de cobertura k de la fila, que da una probabilidad de cobertura de aproximadamente ${coverage} para sus grados efectivos de libertad. Contiene las contribuciones de la referencia, del indicador, de la fuente de temperatura, del tiempo entre lecturas en la rampa, del retraso del interruptor y de su repetibilidad a corto plazo; lo que es común a ambos cambios se cancela en la banda muerta.`,
    stability:
      "La incertidumbre corresponde a los valores en el momento y en las condiciones de la calibración. No contiene nada por la deriva posterior del objeto ni por el transporte.",
    conformity: (rule) =>
      `La conformidad se declara para cada punto de las tablas de resultados que lleva una decisión, frente a la especificación indicada con el objeto. ${rule}`,
    undecided:
      "Donde U no deja espacio entre los límites de aceptación no es posible ninguna declaración, y el punto figura como sin decidir; eso no es una no conformidad.",
    ownRisk,
    rules: {
      simple: {
        name: "aceptación simple",
        text: "Aceptación simple, sin banda de guarda (w = 0): un punto es conforme si su error queda dentro de la tolerancia, límites incluidos, y no conforme en caso contrario. Para un error exactamente sobre un límite el riesgo de una declaración errónea llega al 50 %. ",
      },
      guardBand: {
        name: (width) => `banda de guarda ${width}`,
        text: (width) =>
          `Banda de guarda ${width} a cada lado, siendo U la incertidumbre expandida del mismo punto: un punto es conforme si su error queda dentro de los límites de aceptación, que son los límites de la tolerancia reducidos en w, y no conforme en caso contrario. `,
        bound:
          "Para un punto conforme, el riesgo de que su error verdadero quede fuera de la tolerancia es entonces del 2,5 % como máximo (ILAC-G8:09/2019). ",
      },
      specificRisk: {
        name: (limit) => `riesgo específico de ${limit} como máximo`,
        text: (limit) =>
          `Banda de guarda por riesgo específico: un punto es conforme si la probabilidad de que su error verdadero quede fuera de la tolerancia es de ${limit} como máximo, dada solo esta medición (JCGM 106:2012, 8.3.2), y no conforme en caso contrario. Los límites de aceptación de la tabla se siguen de esa probabilidad y de la incertidumbre del punto; cuentan ambos extremos de la tolerancia. `,
      },
      nonBinary: {
        name: "declaración no binaria con banda de guarda w = U",
        text: "Declaración no binaria con banda de guarda w = U (ILAC-G8:09/2019, 4.2.3), siendo U la incertidumbre expandida del mismo punto. Conforme: el error queda dentro de los límites de aceptación, que son los límites de la tolerancia reducidos en w; el riesgo de que el error verdadero quede fuera de la tolerancia es entonces del 2,5 % como máximo. Conforme condicional: el error queda dentro de la tolerancia pero fuera de los límites de aceptación; ese riesgo llega hasta el 50 %. No conforme condicional: el error queda fuera de la tolerancia en no más de w; el riesgo de que el error verdadero quede dentro llega hasta el 50 %. No conforme: el error queda fuera en más de w; ese riesgo es entonces del 2,5 % como máximo. ",
      },
    },
    scope: "Los resultados se refieren solo a los objetos calibrados, tal como se identifican en este certificado.",
    reproduction:
      "Este certificado solo puede reproducirse íntegramente, salvo acuerdo por escrito del laboratorio que lo emitió.",
    customerData: (things) =>
      `El cliente facilitó ${things}. El laboratorio no los determinó; si son erróneos, la declaración de conformidad puede serlo también.`,
    customerThings: {
      tag: "las identificaciones de los objetos",
      place: "sus ubicaciones en planta",
      range: "sus intervalos de uso",
      tolerance: "la especificación frente a la que se declara la conformidad",
    },
    accreditation: {
      within: (text) => `Todos los resultados quedan dentro del alcance de acreditación. ${text}`,
      outside:
        "Este certificado se emite fuera de la acreditación del laboratorio: no todos los resultados quedan dentro de su alcance.",
    },
    deviations: {
      none: "Ninguna respecto al método.",
      ended: (outcome, reason) =>
        `El proceso ${outcome === "stopped" ? "se detuvo" : "se interrumpió"} antes de su fin${reason === null ? "" : ` (${reason})`}.`,
      rejected: (count) =>
        `${count === 1 ? "Se rechazó una lectura" : `Se rechazaron ${count} lecturas`}, con el motivo en el registro del proceso.`,
      kitChange: (role, from, to, reason) =>
        `${kitRoles[role]} ${from} se sustituyó durante el proceso por ${to}: ${reason}.`,
      ramps: (tag, pass) =>
        `${tag}: no todas las rampas del método tienen un cambio ${passPhrase[pass]}; la tabla de rampas dice cuáles.`,
      points: (tag, pass) =>
        `${tag}: no todos los puntos del método tienen resultado ${passPhrase[pass]}; los que no lo tienen figuran bajo su tabla.`,
    },
    globalRisk: {
      text: (parts) =>
        `Para cada punto la probabilidad, antes de medir nada, de que un objeto con este historial se acepte sin ser conforme (riesgo del consumidor) y de que se rechace siendo conforme (riesgo del productor). Juzga la regla y no el objeto medido; de él hablan las tablas. ${parts}`,
      part: (tag, pass, prior, points) =>
        `${tag} ${pass.toLowerCase()}${prior}, riesgo del consumidor y del productor: ${points}.`,
      notStated: (place) => `${place} no declarado`,
      stated: (place, consumer, producer) => `${place} ${consumer} y ${producer}`,
      prior: (whose, from, to, deviation) =>
        ` (información previa: ${whose === "item" ? "errores anteriores del propio objeto" : "errores anteriores de objetos de su clase"} del ${from} al ${to}, desviación típica ${deviation} sin la parte de sus mediciones)`,
      spread: (least, most) => `de ${least} a ${most}`,
    },
  },
  data: {
    job: "Encargo",
    run: "Proceso",
    hash: "SHA-256 del registro del proceso",
    serial: "Número de serie",
    tag: "Identificación",
    item: "Objeto del encargo",
    notice: "Aviso",
    place: "Lugar de calibración",
    equipment: "Equipo",
    certificate: "Certificado de su calibración",
    certificateOf: (certificate, day, laboratory) => `Certificado ${certificate} del ${day}, ${laboratory}`,
    validUntil: (day) => `Válido hasta ${day}`,
    characterised: (day) => `Caracterizado ${day}`,
    unknown: "desconocido",
    within: (halfWidth) => `dentro de ±${halfWidth} del valor`,
    conformity: "Conformidad",
    conformityNote: (rule) =>
      `Regla de decisión: ${rule}. noPass representa un punto sin declaración de conformidad; los límites que no existen son NaN.`,
    acceptance: { lower: "Límite inferior de aceptación", upper: "Límite superior de aceptación" },
    tolerance: { lower: "Límite inferior de la tolerancia", upper: "Límite superior de la tolerancia" },
    agreedTemperature: "Temperatura acordada",
    agreedDeviation: "Desviación respecto a la temperatura acordada",
    nothing: "Ningún punto de este estado tiene resultado.",
    reference: "Temperatura de referencia",
    calibrationPoint: "Punto de calibración",
    indication: "Indicación del objeto",
    error: "Error de indicación",
    inUnit: (symbol, unit) => `${symbol} en ${unit}`,
    coverage: (k, probability) => `k = ${k}, probabilidad de cobertura ${probability}`,
    previous: "Certificado al que este sustituye",
    people: { technician: "calibrado por", authorised: "autorizado por" },
  },
};

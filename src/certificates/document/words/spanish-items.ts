import type { Words } from "./words.ts";

const directions = { rising: "al subir", falling: "al bajar" } as const;
const actions = { opens: "abre", closes: "cierra" } as const;
const ended = { stopped: "detenido", failed: "interrumpido", completed: "terminado", open: "abierto" } as const;

export const spanishItems: Pick<Words, "item" | "results" | "fit" | "switch"> = {
  item: {
    heading: (tag) => `Objeto ${tag}`,
    facts: {
      tag: "Identificación",
      serial: "Número de serie",
      description: "Descripción",
      model: "Modelo",
      place: "Ubicación en planta",
      condition: "Estado a la recepción",
      sensor: "Sensor",
      junction: "Unión de referencia",
      specification: "Especificación",
      range: "Intervalo de uso",
      immersion: "Inmersión del objeto",
      notCalibrated: "No calibrado",
    },
    span: (lower, upper) => `de ${lower} a ${upper}`,
    sensor: {
      thermocouple: (type) => `Termopar tipo ${type}, función de referencia de IEC 60584-1`,
      thermocoupleDeviation: (type, coefficients) =>
        `Termopar tipo ${type}, función de referencia de IEC 60584-1 con polinomio de desviación ${coefficients} (mV, potencias de t/°C desde 0)`,
      its90: (rtpw) =>
        `Termómetro de resistencia de platino, funciones de desviación de la EIT-90 (ITS-90), R(0,01 °C) = ${rtpw}`,
      callendarVanDusen: (coefficients) =>
        `Termómetro de resistencia de platino, ecuación de Callendar-Van Dusen, ${coefficients}`,
      thermistor: "Termistor, ecuación de Steinhart-Hart",
      loop: (low, high, lower, upper) =>
        `Transmisor de temperatura, de ${low} a ${high} para ${lower} a ${upper}, lineal`,
      indication: "Termómetro indicador, leído en °C",
      switch: (action, trip, tripsOn) =>
        `Termostato (interruptor de temperatura), su contacto ${actions[action]} al subir la temperatura, disparo a ${trip} ${directions[tripsOn]}`,
    },
    classes: {
      "iec-60584-1/1": "IEC 60584-1, clase de tolerancia 1",
      "iec-60584-1/2": "IEC 60584-1, clase de tolerancia 2",
      "iec-60584-1/3": "IEC 60584-1, clase de tolerancia 3",
      "astm-e230/standard": "ASTM E230, tolerancia normal",
      "astm-e230/special": "ASTM E230, tolerancia especial",
      "iec-60751/AA": "IEC 60751, clase AA",
      "iec-60751/A": "IEC 60751, clase A",
      "iec-60751/B": "IEC 60751, clase B",
      "iec-60751/C": "IEC 60751, clase C",
    },
    tolerance: {
      ofReading: (percent) => `${percent} de la temperatura en °C`,
      ofSpan: (percent) => `${percent} de la amplitud del intervalo`,
      table: (rows) => `${rows}, lineal entre ellos`,
      tableRow: (kelvin, temperature) => `${kelvin} a ${temperature}`,
      larger: (parts) => `el mayor de ${parts}`,
      sum: (parts) => `la suma de ${parts}`,
      agreed: (tolerance) => `${tolerance}, acordado con el cliente`,
      trip: (kelvin, temperature) => `${kelvin} para el disparo a ${temperature}`,
      reset: (kelvin, temperature) => `; ${kelvin} para el rearme a ${temperature}`,
      deadBand: (minimum, maximum) => `; banda muerta de ${minimum} a ${maximum}`,
    },
    junction: {
      ice: (value) => `Punto de hielo, ${value}`,
      channel: (name, halfWidth) => `Medida en el canal ${name}, ${halfWidth}`,
    },
    notCalibrated: {
      sensor:
        "El sensor se calibró con sus propios conductores. No se calibraron el instrumento ni el cable a los que se conecta en servicio.",
      loop: "El transmisor se calibró junto con su sensor, por la corriente de lazo. No se calibraron la entrada, el indicador ni el sistema de control que reciben esa corriente en servicio.",
      indication:
        "El termómetro se calibró por su propio indicador. No se calibraron las salidas de señal, las alarmas ni las funciones de registro.",
      switch:
        "El interruptor se calibró por su contacto, en una fuente de temperatura. No se calibró aquello sobre lo que actúa el contacto en servicio (relé, enclavamiento, alarma), ni su carga o poder de corte.",
    },
    adjustment: {
      coefficients: (sensor, by) =>
        `A partir de los resultados encontrados se determinaron coeficientes nuevos, válidos para los resultados finales: ${sensor}. Confirmado por ${by}.`,
      none: "El objeto no se ajustó entre los resultados encontrados y los finales.",
      zeroAndSpan: (zero, span) =>
        `El objeto se ajustó entre los resultados encontrados y los finales: su indicación se cambió en ${zero} en el extremo inferior de su intervalo, y en ${span} más a lo largo de él.`,
      by: (by) => ` Ajustado por ${by}.`,
      byAllowed: (by, allowed) => ` Ajustado por ${by}, con el permiso de ${allowed}.`,
    },
    picture: {
      heading: "Errores y su incertidumbre",
      alt: (tag, lines) =>
        `Errores de ${tag} en función de la temperatura, con incertidumbre expandida, frente a la tolerancia. ${lines}`,
      altPoint: (error, U, temperature) => `${error} con U = ${U} a ${temperature}`,
      bars: "Las barras muestran la incertidumbre expandida U; donde es menor que el símbolo quedan detrás de él.",
      joinedLimits: "Los límites se unen con rectas entre los puntos.",
      noTolerance: "En estos puntos no se aplica ninguna tolerancia.",
      guardOfLeft: "La banda de guarda dibujada es la de los resultados finales.",
      x: "Temperatura (EIT-90) / °C",
      y: "Error de indicación / K",
      withinAcceptance: "Dentro de los límites de aceptación",
      withinTolerance: "Dentro de la tolerancia",
      guard: "Banda de guarda",
    },
  },
  results: {
    columns: {
      nominal: "Punto",
      reference: "Referencia",
      indication: "Indicación",
      error: "Error",
      tolerance: "Tolerancia",
      acceptance: "Aceptación",
      risk: "Riesgo",
      decision: "Decisión",
    },
    unmeasured: {
      skipped: { one: "se omitió", many: "se omitieron" },
      "not-measured": { one: "no se midió", many: "no se midieron" },
      flagged: {
        one: "no tiene resultado porque su señal era defectuosa",
        many: "no tienen resultado porque la señal era defectuosa",
      },
    },
    point: (place, verb, reason) => `El punto a ${place} ${verb}: ${reason}`,
    points: (places, verb, reason) => `Los puntos a ${places} ${verb}: ${reason}`,
    unstated: (place, reason) => `No se declara conformidad a ${place}: ${reason}`,
    noTolerance: "no se aplica ninguna tolerancia",
    repeated: (place, reason) => `El punto a ${place} se midió de nuevo: ${reason}`,
    unfitted: (reason) => `No se ajustó ninguna ecuación: ${reason}`,
    hysteresis: (place, difference, U) =>
      `${place} se alcanzó subiendo y bajando: bajando menos subiendo ${difference} ± ${U}; la mitad hacia cada lado forma allí parte de U.`,
    added: (place, reason) => `El punto a ${place} se añadió a los del método: ${reason}.`,
    outside: (places) => `Los resultados a ${places} quedan fuera del alcance de acreditación del laboratorio.`,
    notReached: (outcome, reason) =>
      `No alcanzado antes del fin del proceso (${ended[outcome]}${reason === null ? "" : `: ${reason}`}).`,
    notRepeated: (reason) => `Debía repetirse (${reason}), pero no se midió de nuevo.`,
    inEnglish: (text) => `(texto de la evaluación, en inglés) ${text}`,
    evidence: {
      heading: "Cómo se mantuvo cada punto",
      pass: "Estado",
      point: "Punto / °C",
      readings: "Lecturas",
      signal: "Señal media del objeto",
      remainder: "Por estabilizar, como máximo / K",
      target: "Objetivo / K",
      notRecorded: "no registrado",
    },
    check: {
      iceHolds: (serial, difference, limit) =>
        `Al final del proceso la referencia ${serial} difería en ${difference} en el punto de hielo, dentro del límite de ${limit}.`,
      iceFailed: (serial, difference, limit) =>
        `Al final del proceso la referencia ${serial} difería en ${difference} en el punto de hielo, más que el límite de ${limit}: lo medido con ella es dudoso.`,
      besideHolds: (serial, difference, limit, beside) =>
        `Al final del proceso la referencia ${serial} difería en ${difference} junto a ${beside}, dentro del límite de ${limit}.`,
      besideFailed: (serial, difference, limit, beside) =>
        `Al final del proceso la referencia ${serial} difería en ${difference} junto a ${beside}, más que el límite de ${limit}: lo medido con ella es dudoso.`,
      besideOf: (serial, certificate) => `el termómetro de control ${serial} (${certificate})`,
      weak: " La propia comprobación es menos segura que el límite, así que prueba poco.",
      notMade: "La comprobación final estaba prevista, pero no se hizo.",
      leftOut: (reason) => `La comprobación final se omitió: ${reason}.`,
      firstHolds: (pass, differences, limit) =>
        `Repetido al final (${pass}), el primer punto difería en: ${differences}; dentro del límite de ${limit}.`,
      firstFailed: (pass, differences, limit) =>
        `Repetido al final (${pass}), el primer punto difería en: ${differences}; el límite es ${limit}, por lo que los puntos intermedios son dudosos.`,
      firstNotMade: (pass) => `El primer punto debía repetirse al final (${pass}), pero no se midió las dos veces.`,
    },
  },
  fit: {
    headingOf: {
      "as-found": "Ecuación del objeto como se encontró, antes de todo ajuste",
      "as-left": "Ecuación del objeto como se dejó",
    },
    aboveAluminium: "por encima del punto del aluminio",
    callendarVanDusen: (equation) => `${equation}; ecuación de Callendar-Van Dusen de IEC\u00a060751, t en °C, R en Ω.`,
    callendarVanDusenBelow: (equation) =>
      `${equation}, el término con C solo por debajo de 0 °C; ecuación de Callendar-Van Dusen de IEC\u00a060751, t en °C, R en Ω.`,
    its90: (equation, subrange) =>
      `${equation}; función de desviación de la Escala Internacional de Temperatura de 1990 en su subintervalo ${subrange}, R en Ω.`,
    deviation: (equation, type) =>
      `${equation}, siendo E′ la función de referencia de IEC\u00a060584-1 para el tipo ${type}; t en °C, E en mV con la unión de referencia a 0 °C.`,
    polynomial: (equation, unit, junction) =>
      `La señal a t en °C es ${equation}, en ${unit}${junction ? ", con la unión de referencia a 0 °C" : ""}.`,
    columns: { coefficient: "Coeficiente", value: "Valor", uncertainty: "Incertidumbre típica", unit: "Unidad" },
    quality: (points, left, largest, at) =>
      `Ajustada por mínimos cuadrados ponderados a ${points} puntos, ${left}. El mayor residuo es ${largest}, a ${at}.`,
    nothingLeft: "de modo que no queda nada con que juzgar el ajuste",
    degrees: (count) => (count === 1 ? "queda un grado de libertad" : `quedan ${count} grados de libertad`),
    scatter: (times) =>
      ` Los puntos se dispersan en torno a la curva ${times} veces lo que hacen esperar sus propias incertidumbres.`,
    tableHeading: (lower, upper) => `Tabla de ${lower} a ${upper}`,
    tableNote: (k, coverage) =>
      `Lo que da la ecuación. U es la incertidumbre expandida de la curva ajustada a esa temperatura (k = ${k}, probabilidad de cobertura aproximada ${coverage}); contiene por completo lo que es común a todos los puntos. Pertenece al objeto tal como se calibró, y no contiene la incertidumbre de medir después con él. Entre las filas úsese la ecuación.`,
    signal: "Señal",
  },
  switch: {
    action: "Acción",
    agreed: "Acordado",
    measured: "Medido",
    deviation: "Desviación",
    limits: "Límites",
    deadBand: "Banda muerta",
    change: (role, contact, direction) =>
      `${role === "trip" ? "Disparo" : "Rearme"}: ${actions[contact]}, ${directions[direction]}`,
    between: (lower, upper) => `${lower} a ${upper}`,
    lagDeclared: (seconds) =>
      `Las temperaturas están corregidas por la rampa: el interruptor va ${seconds} por detrás de la referencia, según lo declarado.`,
    lagTwoRates: (seconds, u) =>
      `Las temperaturas valen en reposo: de rampas a dos velocidades resulta que el interruptor va ${seconds} por detrás de la referencia (incertidumbre típica ${u}), y su efecto se ha descontado.`,
    lagBounded: (seconds) =>
      `El efecto de la rampa no está corregido; en la incertidumbre figura un retraso del interruptor respecto a la referencia de hasta ${seconds}.`,
    noResult: (name, reason) => `${name} no tiene resultado: ${reason}`,
    noDeadBand: (reason) => `La banda muerta no tiene resultado: ${reason}`,
    unstated: (name, reason) => `${name}: no se declara conformidad. ${reason}`,
    noLimits: "No hay límites acordados.",
    ramp: (cycle, direction) => `${cycle}, ${directions[direction]}`,
    rampNote: (ramp, reason) => `Rampa ${ramp}: ${reason}`,
    leftOut: "omitida.",
    unchanged: "El contacto no cambió en la rampa.",
    needsBoth: "Necesita los cambios en ambos sentidos.",
    evidence: {
      heading: "Lo que hizo el contacto en cada rampa",
      ramp: "Rampa",
      rate: "Velocidad / (K/min)",
      contact: "Contacto",
      reference: "Referencia leída / °C",
      between: "Entre / s",
    },
    changed: (bounces) => `cambió${bounces === 0 ? "" : `, ${bounces} rebote${bounces === 1 ? "" : "s"}`}`,
    states: {
      "no-change": "no cambió",
      flagged: "defectuoso",
      skipped: "omitida",
      "not-measured": "no leído",
    },
  },
};

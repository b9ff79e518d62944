import { firstOrder, followFirstOrder } from "./first-order.ts";

export interface ProbeModel {
  /** Time constants of element and sheath in the source, s; zero leaves one out. */
  readonly lags: readonly [number, number];
  /** A loose fit: this share of the temperature arrives through a further lag of so many seconds. */
  readonly looseFit?: { readonly share: number; readonly lag: number } | undefined;
  /** Share of the difference to ambient that is lost along the stem. */
  readonly stemLoss: number;
}

export interface Probe {
  /** One step on, with the well's temperature at its end; the surroundings as at the start where nothing is said, °C. */
  step(well: number, ambient?: number): number;
  /** Temperature that the element would come to in a well and surroundings that stay as they are, °C. */
  atRest(well: number, ambient: number): number;
  /** Temperature of the sensing element, °C. */
  element(): number;
}

/** A probe in its well: stem loss towards ambient, then two lags in a row, a share of it through a slow third. */
export const probeInWell = (model: ProbeModel, ambient: number, start: number, step: number): Probe => {
  const sheathLag = firstOrder(model.lags[1], step);
  const elementLag = firstOrder(model.lags[0], step);
  const share = model.looseFit?.share ?? 0;
  const slowLag = firstOrder(model.looseFit?.lag ?? 0, step);
  const reached = (well: number, surroundings: number) => well - model.stemLoss * (well - surroundings);

  let input = reached(start, ambient);
  let slow = input;
  let mixed = input;
  let sheath = input;
  let element = input;

  return {
    step(well, surroundings = ambient) {
      const next = reached(well, surroundings);
      slow = followFirstOrder(slowLag, slow, input, next);
      input = next;
      const mixedNext = (1 - share) * next + share * slow;
      const sheathNext = followFirstOrder(sheathLag, sheath, mixed, mixedNext);
      element = followFirstOrder(elementLag, element, sheath, sheathNext);
      mixed = mixedNext;
      sheath = sheathNext;
      return element;
    },
    atRest: reached,
    element: () => element,
  };
};

import type { Pass } from "../job/procedure.ts";
import type { RunEvent, RunEventOf } from "./events.ts";

/** What the log says about one ramp of one pass: the last one that was begun, and what it brought. */
export interface SweepHistory {
  readonly begun: RunEventOf<"ramp-begun"> | undefined;
  /** By item. */
  readonly changes: ReadonlyMap<string, RunEventOf<"contact-changed">>;
  readonly ended: RunEventOf<"ramp-ended"> | undefined;
}

const nothingYet: SweepHistory = { begun: undefined, changes: new Map(), ended: undefined };

/** Sorts what was said about ramps. A ramp that is begun anew, or a point that is to be repeated, sets aside what was before. */
export class SweepHistories {
  readonly #all = new Map<string, SweepHistory>();

  of(pass: Pass, point: number): SweepHistory {
    return this.#all.get(`${pass}/${point}`) ?? nothingYet;
  }

  add(event: RunEvent): void {
    if (!("pass" in event) || !("point" in event) || event.pass === undefined || event.point === undefined) return;
    const key = `${event.pass}/${event.point}`;
    const history = this.of(event.pass, event.point);
    if (event.kind === "ramp-begun") this.#all.set(key, { ...nothingYet, begun: event });
    else if (event.kind === "contact-changed")
      this.#all.set(key, { ...history, changes: new Map([...history.changes, [event.item, event]]) });
    else if (event.kind === "ramp-ended") this.#all.set(key, { ...history, ended: event });
    else if (event.kind === "point-repeated") this.#all.delete(key);
  }
}

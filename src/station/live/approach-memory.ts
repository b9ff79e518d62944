import type { Pass } from "#calibration";
import type { Approach, RunView } from "#contract";

interface ItemCell {
  readonly temperature: number | null;
  readonly difference: number | null;
  readonly estimate: number | null;
  readonly bound: number | null;
}

/** One instant of an approach; `items` stands in the order of the job's items. */
export interface ApproachRow {
  readonly at: number;
  readonly reference: number | null;
  readonly source: number | null;
  readonly items: readonly ItemCell[];
}

interface Chapter {
  readonly pass: Pass;
  readonly point: number;
  readonly started: number;
  readonly setPoint: number;
  items: readonly { readonly item: string; readonly target: number }[];
  rows: ApproachRow[];
  /** Only every `stride`-th instant is kept; it doubles when the chapter is full. */
  stride: number;
  seen: number;
}

/** Most rows that a picture gets; a chapter holds up to twice as many before every other one goes. */
export const pictureRows = 300;

const rowOf = (view: RunView, at: number): ApproachRow => ({
  at,
  reference: view.reference?.temperature ?? null,
  source: view.source?.temperature ?? null,
  items: view.items.map(({ item, latest, error }) => {
    const settling = view.settling.find((each) => each.item === item);
    return {
      temperature: latest?.temperature ?? null,
      difference: error,
      estimate: settling?.estimate ?? null,
      bound: settling?.bound ?? null,
    };
  }),
});

/** The picture of an approach from its rows, thinned evenly; the last row always stays. */
export const approachOf = (
  place: { pass: Pass; point: number; setPoint: number },
  items: readonly { readonly item: string; readonly target: number }[],
  rows: readonly ApproachRow[],
): Approach => {
  const step = Math.max(1, Math.ceil(rows.length / pictureRows));
  const kept = rows.filter((_, index) => (rows.length - 1 - index) % step === 0);
  return {
    ...place,
    times: kept.map(({ at }) => at),
    reference: kept.map(({ reference }) => reference),
    source: kept.map(({ source }) => source),
    items: items.map(({ item, target }, index) => ({
      item,
      target,
      temperature: kept.map((row) => row.items[index]?.temperature ?? null),
      difference: kept.map((row) => row.items[index]?.difference ?? null),
      estimate: kept.map((row) => row.items[index]?.estimate ?? null),
      bound: kept.map((row) => row.items[index]?.bound ?? null),
    })),
  };
};

/**
 * Remembers how each point was approached, from the views of a run while it goes on. What it keeps is bounded, however
 * long the run: each point's rows are thinned as they grow. A repeated point begins a new chapter.
 */
export class ApproachMemory {
  readonly #chapters = new Map<string, Chapter>();
  #lastAt = Number.NEGATIVE_INFINITY;

  add(view: RunView): void {
    const { pass, point, setPoint, pointStarted } = view;
    const at = view.reference?.at;
    if (pass === null || point === null || setPoint === null || pointStarted === null) return;
    if (at === undefined || at <= this.#lastAt || at < pointStarted) return;
    this.#lastAt = at;
    const chapter = this.#chapter(pass, point, setPoint, pointStarted);
    if (view.settling.length > 0) chapter.items = view.settling.map(({ item, target }) => ({ item, target }));
    // A switch on its ramp is not judged for settling; reference and source are worth the picture.
    else if (view.ramp !== null) chapter.items = view.ramp.contacts.map(({ item }) => ({ item, target: 1 }));
    if (chapter.seen % chapter.stride === 0) chapter.rows.push(rowOf(view, at));
    chapter.seen += 1;
    if (chapter.rows.length >= 2 * pictureRows) {
      chapter.rows = chapter.rows.filter((_, index) => index % 2 === 0);
      chapter.stride *= 2;
    }
  }

  /** Rows that are held, of all points. */
  get rows(): number {
    return [...this.#chapters.values()].reduce((sum, { rows }) => sum + rows.length, 0);
  }

  /** The approach to a point; null where nothing of it was seen, or its settling not yet judged. */
  at(pass: Pass, point: number): Approach | null {
    const chapter = this.#chapters.get(`${pass} ${point}`);
    if (chapter === undefined || chapter.items.length === 0) return null;
    return approachOf({ pass, point, setPoint: chapter.setPoint }, chapter.items, chapter.rows);
  }

  #chapter(pass: Pass, point: number, setPoint: number, started: number): Chapter {
    const name = `${pass} ${point}`;
    const known = this.#chapters.get(name);
    if (known !== undefined && known.started === started) return known;
    const fresh: Chapter = { pass, point, started, setPoint, items: [], rows: [], stride: 1, seen: 0 };
    this.#chapters.set(name, fresh);
    return fresh;
  }
}

import { Fault } from "#fault";
import { sourceClasses, type SourceClass } from "#bench";
import { rehearsalItems, type RehearsalItem } from "./cell-items.ts";
import type { PhysicsInput } from "./physics.ts";

/** A combination of source and item that is rehearsed, and what is made hard about it. */
export interface Cell {
  readonly name: string;
  readonly source: SourceClass;
  readonly item: RehearsalItem;
  /** In words, for the table; null in the standard cells. */
  readonly stress: string | null;
  /** What it changes about the physics. */
  readonly physics: PhysicsInput;
}

const standardCells: readonly Cell[] = sourceClasses.flatMap((source) =>
  (Object.keys(rehearsalItems) as RehearsalItem[]).map((item) => ({
    name: `${source}/${item}`,
    source,
    item,
    stress: null,
    physics: {},
  })),
);

const stressed = (
  name: string,
  source: SourceClass,
  item: RehearsalItem,
  stress: string,
  physics: PhysicsInput,
): Cell => ({ name, source, item, stress, physics });

const stressCells: readonly Cell[] = [
  stressed("loose-2-300", "dry-block", "pt100", "loose fit, 2 % late by 300 s", {
    looseFit: { share: 0.02, lag: 300 },
  }),
  stressed("loose-5-300", "dry-block", "pt100", "loose fit, 5 % late by 300 s", {
    looseFit: { share: 0.05, lag: 300 },
  }),
  stressed("loose-5-300-bath", "bath", "thermocouple", "loose fit, 5 % late by 300 s", {
    looseFit: { share: 0.05, lag: 300 },
  }),
  stressed("loose-5-300-furnace", "furnace", "thermowell", "loose fit, 5 % late by 300 s", {
    looseFit: { share: 0.05, lag: 300 },
  }),
  stressed("loose-5-600", "dry-block", "pt100", "loose fit, 5 % late by 600 s", {
    looseFit: { share: 0.05, lag: 600 },
  }),
  stressed("loose-5-600-transmitter", "dry-block", "transmitter", "loose fit, 5 % late by 600 s", {
    looseFit: { share: 0.05, lag: 600 },
  }),
  stressed("creep", "furnace", "pt100", "wells creep, up to 0.05 % late by 1 to 2 hours", {
    wellCreep: { share: [-0.0005, 0.0005], lag: [3600, 7200] },
  }),
  stressed("creep-dry-block", "dry-block", "transmitter", "wells creep, up to 0.05 % late by 1 to 2 hours", {
    wellCreep: { share: [-0.0005, 0.0005], lag: [3600, 7200] },
  }),
  stressed("creep-beyond", "furnace", "pt100", "wells creep, up to 0.15 % late by 1 to 2 hours", {
    wellCreep: { share: [-0.0015, 0.0015], lag: [3600, 7200] },
  }),
  stressed("ambient", "dry-block", "transmitter", "surroundings drift by 6 to 10 K an hour", {
    ambientDrift: [6, 10],
    ambient: [15, 20],
    ambientEffect: [-0.02, 0.02],
  }),
  stressed("cycling", "dry-block", "pt100", "source cycles, ±80 mK in 250 s", {
    cycling: { amplitude: 0.08, period: 250 },
  }),
  stressed("cycling-thermowell", "dry-block", "thermowell", "source cycles, ±80 mK in 250 s", {
    cycling: { amplitude: 0.08, period: 250 },
  }),
  stressed("twentieth", "dry-block", "transmitter", "target a twentieth of the tolerance", { targetFraction: 0.05 }),
  stressed("twentieth-bath", "bath", "thermowell", "target a twentieth of the tolerance", { targetFraction: 0.05 }),
];

export const allCells: readonly Cell[] = [...standardCells, ...stressCells];

/**
 * The cells that some names stand for: `all`, `standard`, `stress`, names of cells, and a source or an item for all standard
 * cells with it. Each cell once, in the order of the table. @throws Fault `usage.wrong` with the names that there are
 */
export const cellsNamed = (names: readonly string[]): readonly Cell[] => {
  const fits = (cell: Cell, name: string): boolean =>
    name === "all" ||
    cell.name === name ||
    (cell.stress === null ? name === "standard" || cell.source === name || cell.item === name : name === "stress");
  const unknown = names.find((name) => !allCells.some((cell) => fits(cell, name)));
  if (unknown !== undefined || names.length === 0) {
    throw new Fault(
      "usage.wrong",
      `There is no cell "${unknown ?? ""}". There are: all, standard, stress; ${allCells.map(({ name }) => name).join(", ")}; or a source or an item alone.`,
    );
  }
  return allCells.filter((cell) => names.some((name) => fits(cell, name)));
};

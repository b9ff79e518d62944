import type { Reference, Source } from "#calibration";
import { failure, success, type Outcome } from "#fault";
import { upkeepFormat } from "../document/common.ts";
import type { UpkeepKind } from "../document/document.ts";
import { upkeepPlanSchema, type UpkeepPlan } from "./plan.ts";

export interface KitEntries {
  readonly source?: Source | undefined;
  readonly reference?: Omit<Reference, "channel"> | undefined;
}

/** A thermometer that shows °C by itself: what stands in for those that a person will name. */
const display = (id: string) => ({ id, sensor: { kind: "indication" }, unit: "°C", resolution: 0.001 });

const pair = { fixed: display("stays"), moved: display("moved") };

/** Ends and middle of a range, a little inside it, to whole tens where there is room. */
const spread = ({ minimum, maximum }: Source["range"]): number[] => {
  const inside = 0.05 * (maximum - minimum);
  const step = maximum - minimum > 100 ? 10 : 1;
  const round = (value: number) => Math.round(value / step) * step;
  return [...new Set([minimum + inside, (minimum + maximum) / 2, maximum - inside].map(round))].toSorted(
    (a, b) => a - b,
  );
};

const fromRoom = ({ minimum, maximum }: Source["range"], room: number): number =>
  Math.abs(maximum - room) >= Math.abs(minimum - room) ? maximum : minimum;

const wanted = (kind: UpkeepKind, { source, reference }: KitEntries): object | null => {
  switch (kind) {
    case "characterisation":
      return source === undefined
        ? null
        : {
            ...pair,
            source,
            procedure: {
              temperatures: spread(source.range),
              wells: source.wells === undefined ? ["1", "2"] : wellNames(source.wells),
              loading: true,
              hysteresis: true,
            },
          };
    case "pull-test": {
      if (reference === undefined) return null;
      const full = reference.immersion ?? 150;
      return {
        fixed: pair.fixed,
        moved: { id: reference.id, sensor: reference.sensor, unit: reference.unit },
        reference,
        ...(reference.diameter === undefined ? {} : { diameter: reference.diameter }),
        temperature: fromRoom(reference.range, 23),
        procedure: { depths: [full, full - 20, full - 40] },
      };
    }
    case "self-heating":
      return reference === undefined
        ? null
        : {
            reference,
            medium: "where it is used",
            temperature: Math.max(reference.range.minimum, Math.min(reference.range.maximum, 60)),
            current: 1,
            procedure: { currents: [1, 1.4142] },
          };
    case "reference-check":
      return reference === undefined ? null : { reference, point: "ice-point", procedure: {} };
  }
};

/** Names of the wells of an insert, at most four of them. */
const wellNames = (wells: NonNullable<Source["wells"]>): string[] =>
  wells
    .flatMap(({ count }) => Array.from({ length: count }))
    .slice(0, 4)
    .map((_, index) => String(index + 1));

/** How a test of a kit entry is usually made, to be read as a guide or changed to what is at hand. */
export const usualPlan = (kind: UpkeepKind, entries: KitEntries, by: string): Outcome<UpkeepPlan> => {
  const plan = wanted(kind, entries);
  const needs = kind === "characterisation" ? "source" : "reference";
  if (plan === null)
    return failure(
      "input.invalid",
      `A ${kind} is of a ${needs}; the file has none. Name a kit file or a job that has it.`,
    );
  const parsed = upkeepPlanSchema.safeParse({ upkeep: upkeepFormat, by, kind, ...plan });
  if (parsed.success) return success(parsed.data);
  const [issue] = parsed.error.issues;
  return failure(
    "input.invalid",
    `No usual ${kind} can be made of this entry: ${issue?.path.join(".") ?? ""} ${issue?.message ?? ""}.`,
  );
};

import { signalAt } from "#calibration";
import type { BroughtEntry } from "../brought.ts";

/** One figure or text of an entry that is not as it was. */
export interface Difference {
  /** Where it stands, as in a job file: `sensor.a`, `calibration.uncertainty[2].value`. */
  readonly path: string;
  readonly before: string | null;
  readonly after: string | null;
  /** Place of the first sign that differs, from 0; the length of the shorter one where it is its beginning. */
  readonly from: number;
  /** After less before, where both are numbers. */
  readonly change: number | null;
}

/** What new coefficients change at a temperature: what is indicated now less what was, for the same signal. */
export interface Effect {
  readonly temperature: number;
  readonly kelvin: number;
}

const leaves = (value: unknown, path: string, into: Map<string, string | number | boolean>): void => {
  if (Array.isArray(value)) {
    for (const [index, part] of value.entries()) leaves(part, `${path}[${index}]`, into);
  } else if (typeof value === "object" && value !== null) {
    for (const [key, part] of Object.entries(value)) leaves(part, path === "" ? key : `${path}.${key}`, into);
  } else if (typeof value === "string" || typeof value === "number" || typeof value === "boolean")
    into.set(path, value);
};

const leavesOf = (entry: object): ReadonlyMap<string, string | number | boolean> => {
  const found = new Map<string, string | number | boolean>();
  leaves(entry, "", found);
  return found;
};

const firstDifference = (one: string, other: string): number => {
  let at = 0;
  while (at < one.length && at < other.length && one[at] === other[at]) at += 1;
  return at;
};

/** What a revision changes, place by place, digit by digit; the revision's own number is left out. */
export const differencesBetween = (before: BroughtEntry, after: BroughtEntry): readonly Difference[] => {
  const [old, now] = [leavesOf(before.entry), leavesOf(after.entry)];
  const all = [...new Set([...old.keys(), ...now.keys()])].filter((path) => path !== "revision");
  // What the probe's readings depend on comes first.
  const paths = [
    ...all.filter((path) => path.startsWith("sensor")),
    ...all.filter((path) => !path.startsWith("sensor")),
  ];
  return paths.flatMap((path): Difference[] => {
    const [was, is] = [old.get(path), now.get(path)];
    if (was === is) return [];
    const [one, other] = [was === undefined ? null : String(was), is === undefined ? null : String(is)];
    return [
      {
        path,
        before: one,
        after: other,
        from: firstDifference(one ?? "", other ?? ""),
        change: typeof was === "number" && typeof is === "number" ? is - was : null,
      },
    ];
  });
};

const effectPoints = 5;

/** What new coefficients of a reference change over its range, K; empty where they do not, or cannot be compared. */
export const effectsBetween = (before: BroughtEntry, after: BroughtEntry): readonly Effect[] => {
  if (before.kind !== "reference" || after.kind !== "reference") return [];
  const { minimum, maximum } = after.entry.range;
  const effects = Array.from({ length: effectPoints }, (_, index): Effect | null => {
    const temperature = minimum + ((maximum - minimum) * index) / (effectPoints - 1);
    const [old, now] = [signalAt(before.entry.sensor, temperature), signalAt(after.entry.sensor, temperature)];
    return old.ok && now.ok ? { temperature, kelvin: (old.value.signal - now.value.signal) / now.value.slope } : null;
  }).filter((effect) => effect !== null);
  return effects.every(({ kelvin }) => kelvin === 0) ? [] : effects;
};

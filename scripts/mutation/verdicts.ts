import { readFileSync } from "node:fs";
import { rangeOf } from "./sample.ts";

/** One mutant that no test noticed: where, what stood there and what stood there instead. */
export interface Survivor {
  readonly path: string;
  readonly line: number;
  readonly column: number;
  readonly was: string;
  readonly became: string;
  readonly covered: boolean;
}

export interface Verdicts {
  readonly name: string;
  readonly room: string;
  readonly killed: number;
  readonly timeout: number;
  readonly survived: number;
  readonly uncovered: number;
  readonly survivors: readonly Survivor[];
  /** The mutants by ranges of lines. */
  readonly clusters: readonly { readonly all: number; readonly noticed: number }[];
}

interface Place {
  readonly line: number;
  readonly column: number;
}
interface Mutant {
  readonly status: string;
  readonly replacement?: string;
  readonly location: { readonly start: Place; readonly end: Place };
}
interface Report {
  readonly files: Readonly<Record<string, { readonly source: string; readonly mutants: readonly Mutant[] }>>;
}

const wordsBetween = (source: string, { start, end }: Mutant["location"]): string => {
  const lines = source.split("\n").slice(start.line - 1, end.line);
  lines[lines.length - 1] = lines.at(-1)!.slice(0, end.column - 1);
  lines[0] = lines[0]!.slice(start.column - 1);
  return lines.map((line) => line.trim()).join(" ");
};

const noticed = new Set(["Killed", "Timeout"]);
const counted = new Set([...noticed, "Survived", "NoCoverage"]);

const clustersOf = (mutants: readonly { readonly path: string; readonly mutant: Mutant }[]): Verdicts["clusters"] =>
  [
    ...Map.groupBy(
      mutants.filter(({ mutant: { status } }) => counted.has(status)),
      ({ path, mutant: { location } }) => `${path}:${rangeOf(location.start.line)}`,
    ).values(),
  ].map((some) => ({
    all: some.length,
    noticed: some.filter(({ mutant: { status } }) => noticed.has(status)).length,
  }));

/** The verdicts of one part, from Stryker's report (the open mutation testing report schema). */
export const readVerdicts = (
  { name, room }: { readonly name: string; readonly room: string },
  at: string,
): Verdicts => {
  const report = JSON.parse(readFileSync(at, "utf8")) as Report;
  const mutants = Object.entries(report.files).flatMap(([path, { source, mutants: all }]) =>
    all.map((mutant) => ({ path, source, mutant })),
  );
  const count = (status: string): number => mutants.filter(({ mutant }) => mutant.status === status).length;
  return {
    name,
    room,
    killed: count("Killed"),
    timeout: count("Timeout"),
    survived: count("Survived"),
    uncovered: count("NoCoverage"),
    clusters: clustersOf(mutants),
    survivors: mutants
      .filter(({ mutant: { status } }) => status === "Survived" || status === "NoCoverage")
      .map(({ path, source, mutant: { status, location, replacement } }) => ({
        path,
        ...location.start,
        was: wordsBetween(source, location),
        became: (replacement ?? "").replace(/\s+/gu, " "),
        covered: status === "Survived",
      })),
  };
};

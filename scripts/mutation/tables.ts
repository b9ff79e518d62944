import { halfWidth } from "./sample.ts";
import type { Verdicts } from "./verdicts.ts";

/** A room passes from this share of noticed mutants on. */
const goal = 0.85;

const total = (some: readonly Verdicts[], key: "killed" | "timeout" | "survived" | "uncovered"): number =>
  some.reduce((sum, verdicts) => sum + verdicts[key], 0);

const share = (some: readonly Verdicts[]): number => {
  const noticed = total(some, "killed") + total(some, "timeout");
  return noticed / (noticed + total(some, "survived") + total(some, "uncovered"));
};

const row = (name: string, some: readonly Verdicts[], sampled?: number): string => {
  const counts = (["killed", "timeout", "survived", "uncovered"] as const).map((key) => total(some, key));
  const all = counts.reduce((sum, count) => sum + count, 0);
  const clusters = some.flatMap((verdicts) => verdicts.clusters);
  const width = sampled === undefined ? "" : ` ± ${(100 * halfWidth(clusters, sampled)).toFixed(1)}`;
  const noticed = all === 0 ? "" : `${(100 * share(some)).toFixed(1)}${width} %`;
  return `| ${[name, all, ...counts, noticed].join(" | ")} |`;
};

/** A row for each part, then one for each room; a mutant that ran out of time was noticed, too. */
export const tableLines = (
  rooms: readonly string[],
  verdicts: readonly Verdicts[],
  sampled?: number,
): { readonly lines: readonly string[]; readonly failing: boolean } => {
  const attacked = rooms
    .map((room) => ({ room, some: verdicts.filter((each) => each.room === room) }))
    .filter(({ some }) => some.length > 0);
  const lines = [
    "| part | mutants | killed | out of time | survived | no test reaches | noticed |",
    "|---|---|---|---|---|---|---|",
    ...verdicts.map((each) => row(each.name, [each])),
    ...attacked.map(({ room, some }) => row(`**${room}**`, some, sampled)),
  ];
  return { lines, failing: attacked.some(({ some }) => share(some) < goal) };
};

/** `place: what stood there → what stood there instead`. */
export const survivorLines = (verdicts: readonly Verdicts[]): readonly string[] =>
  verdicts.flatMap(({ survivors }) =>
    survivors.map(
      ({ path, line, column, was, became, covered }) =>
        `${path}:${line}:${column}${covered ? "" : " (no test reaches it)"}: ${was} → ${became}`,
    ),
  );

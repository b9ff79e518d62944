import type { StudyCase } from "./cases.ts";
import type { StudyAnswer } from "./judge-case.ts";

export interface JudgedCase {
  readonly each: StudyCase;
  readonly answers: readonly StudyAnswer[];
}

const share = (count: number, of: number): string => `${Math.round((100 * count) / of)}`;

/** One row for each case: what was named first how often, and whether the truth was among what is said together. */
export const confusionRows = (judged: readonly JudgedCase[], seeds: number): string => {
  const rows = judged.map(({ each, answers }) => {
    const counts = new Map<string, number>();
    for (const { named } of answers) counts.set(named, (counts.get(named) ?? 0) + 1);
    const named = [...counts]
      .toSorted((a, b) => b[1] - a[1])
      .map(([name, count]) => `${name} ${share(count, seeds)}`)
      .join(", ");
    const among = share(answers.filter((answer) => answer.among).length, seeds);
    const sure = share(answers.filter(({ verdict }) => verdict === "suspected").length, seeds);
    const time = answers.map(({ milliseconds }) => milliseconds).toSorted((a, b) => a - b)[answers.length >> 1]!;
    return `| ${each.name} | ${named} | ${among} | ${sure} | ${time.toFixed(1)} |`;
  });
  return [
    `| true fault | named first, % of ${seeds} seeds | truth among those said together, % | suspected, % | ms |`,
    "|---|---|---|---|---|",
    ...rows,
  ].join("\n");
};

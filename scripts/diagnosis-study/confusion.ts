import type { StudyCase } from "./cases.ts";
import type { StudyAnswer } from "./judge-case.ts";

export interface JudgedCase {
  readonly each: StudyCase;
  readonly answers: readonly StudyAnswer[];
}

const percent = (count: number, of: number, places = 0): string => ((100 * count) / of).toFixed(places);
const counted = (answers: readonly StudyAnswer[], verdict: StudyAnswer["verdict"]): number =>
  answers.filter((answer) => answer.verdict === verdict).length;

/** One row for each case: what was named first how often, and whether the truth was among what is said together. */
export const confusionRows = (judged: readonly JudgedCase[]): string => {
  const rows = judged.map(({ each, answers }) => {
    const counts = new Map<string, number>();
    for (const { named } of answers) counts.set(named, (counts.get(named) ?? 0) + 1);
    const named = [...counts]
      .toSorted((a, b) => b[1] - a[1])
      .map(([name, count]) => `${name} ${percent(count, answers.length)}`)
      .join(", ");
    const among = percent(answers.filter((answer) => answer.among).length, answers.length);
    const verdicts = (["suspected", "unclear"] as const)
      .map((verdict) => percent(counted(answers, verdict), answers.length, each.truth === "healthy" ? 1 : 0))
      .join(" / ");
    return `| ${each.name} | ${named} | ${each.truth === "healthy" ? "" : among} | ${verdicts} |`;
  });
  return [
    "| true fault | named first, % | truth among those said together, % | suspected / unclear, % |",
    "|---|---|---|---|",
    ...rows,
  ].join("\n");
};

/** With few points: how often the truth is among what is said together, and how often something is suspected at all. */
export const fewPointRows = (
  counts: readonly number[],
  judged: readonly { readonly each: StudyCase; readonly byCount: readonly (readonly StudyAnswer[])[] }[],
): string => {
  const rows = judged.map(({ each, byCount }) => {
    const cells = byCount.map((answers) => {
      const suspected = answers.filter(({ verdict }) => verdict === "suspected");
      const right = suspected.filter(({ among }) => among).length;
      return `${percent(suspected.length, answers.length)} (${percent(right, answers.length)})`;
    });
    return `| ${each.name} | ${cells.join(" | ")} |`;
  });
  return [
    `| true fault | ${counts.map((count) => `${count} ${count === 1 ? "point" : "points"}`).join(" | ")} |`,
    `|---|${counts.map(() => "---|").join("")}`,
    ...rows,
  ].join("\n");
};

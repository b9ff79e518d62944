/**
 * `node scripts/diagnosis-study.ts [SEEDS [WORDS]]`: the confusion tables of the diagnosis on the simulated bench, as Markdown for
 * `docs/science/diagnosis.md`. 50 seeds a case if nothing is said, a quarter of them with one, two and three points only;
 * WORDS picks the cases whose names hold them.
 */
import { drawCase, studyCases, type StudyCase } from "./diagnosis-study/cases.ts";
import { confusionRows, fewPointRows } from "./diagnosis-study/confusion.ts";
import { judgeCase } from "./diagnosis-study/judge-case.ts";

const seeds = Number(process.argv[2] ?? 50);
const cases = studyCases.filter(({ name }) => name.includes(process.argv[3] ?? ""));

const judgedWith = (each: StudyCase, count: number, points?: readonly number[]) =>
  Array.from({ length: count }, (_, index) => judgeCase(each, drawCase(each, index + 1, points), index + 1));

process.stdout.write(`${confusionRows(cases.map((each) => ({ each, answers: judgedWith(each, seeds) })))}\n\n`);

const counts = [1, 2, 3] as const;
/** Which of five points are kept: one in the upper half; both ends; both ends and the middle. */
const kept: Readonly<Record<(typeof counts)[number], readonly number[]>> = { 1: [3], 2: [0, 4], 3: [0, 2, 4] };
const few = cases.map((each) => {
  const all = drawCase(each, 1).job.procedure.points.map(({ temperature }) => temperature);
  const byCount = counts.map((count) =>
    judgedWith(
      each,
      Math.max(1, Math.round(seeds / 4)),
      kept[count].map((index) => all[index]!),
    ),
  );
  return { each, byCount };
});
process.stdout.write(`${fewPointRows(counts, few)}\n`);

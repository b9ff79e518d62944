/**
 * `node scripts/diagnosis-study.ts [SEEDS]`: the confusion table of the diagnosis on the simulated bench, as Markdown for
 * `docs/science/diagnosis.md`. 50 seeds a case if nothing is said.
 */
import { drawCase, studyCases } from "./diagnosis-study/cases.ts";
import { judgeCase } from "./diagnosis-study/judge-case.ts";
import { confusionRows } from "./diagnosis-study/confusion.ts";

const seeds = Number(process.argv[2] ?? 50);
const filter = process.argv[3] ?? "";
const cases = studyCases.filter(({ name }) => name.includes(filter));

const answers = cases.map((each) => ({
  each,
  answers: Array.from({ length: seeds }, (_, seed) => judgeCase(each, drawCase(each, seed + 1), seed + 1)),
}));

process.stdout.write(`${confusionRows(answers, seeds)}\n`);

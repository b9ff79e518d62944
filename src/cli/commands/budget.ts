import { failure, Fault, success, type Outcome } from "#fault";
import {
  advise,
  combine,
  distributions,
  simulateBudget,
  type Budget,
  type BudgetLine,
  type CombinedBudget,
  type Correlation,
  type Simulated,
} from "#uncertainty";
import type { Command } from "../command.ts";
import { answerDocument } from "../json-document.ts";
import { readObject } from "../json-lines.ts";
import { readFields, readList, readNumbers, readWord } from "../read-numbers.ts";

const help = `
dwellpoint budget

Combines an uncertainty budget: law of propagation (GUM), Welch-Satterthwaite, coverage factor. One JSON object on standard
input (or JSON Lines, an answer each). The model is the sum of sensitivity·quantity.

in   {"lines":[{"name","value"?,"u","dof"?,"sensitivity"?,"distribution"?,"shape"?},…],
      "correlations"?:[{"a","b","r"},…],"level"?,"k"?,"monteCarlo"?:{"trials","seed"}}
       u             standard uncertainty of the quantity, in its own unit
       dof           its degrees of freedom, above 0; infinitely many where left out or null
       sensitivity   unit of the result per unit of the quantity; 1 where left out
       distribution  ${distributions.join(", ")}; normal where left out. Monte Carlo alone uses it.
       shape         of a trapezoid: top over base, 0 to 1
       correlations  by the names of two lines; all others are independent
       level         coverage probability; 0.9545 where left out
       k             a coverage factor laid down by agreement, instead of a level
       monteCarlo    trials: 1000 to 10000000, or "adaptive" (JCGM 101, 7.9); seed: any number, 1 where left out.
                     Correlated lines must be normal, or wholly correlated. u of a student line is its scale s/√n.

out  {"value","u","dof","k","U","level","lines":[{…,"contribution","share"}],"advice":{"dominant","advice"},
      "monteCarlo"?:{"mean","u","interval","shortest","trials","seed","level",…}}
       dof           effective; null stands for infinitely many
       contribution  |sensitivity|·u;  share: of u², all add to 1 (half of a covariance goes to each of its two lines)
       advice        the dominant lines, and what would make U smaller, with the U that it would be then
       interval      probabilistically symmetric;  shortest: the shortest one
     {"error":{"code","message","data"}}   in its place

Exit 0 when every object was answered, 1 when one or more got an error, 2 for wrong usage.
Example: echo '{"lines":[{"name":"certificate","u":0.015},{"name":"axial","u":0.144,"distribution":"rectangular"}]}' | dwellpoint budget
`;

const lineFields = ["name", "value", "u", "dof", "sensitivity", "distribution", "shape"] as const;

const readLine = (line: Readonly<Record<string, unknown>>, index: number): Outcome<BudgetLine> => {
  const where = `lines[${index}].`;
  const { name, distribution, dof } = line;
  if (typeof name !== "string" || name.trim() === "")
    return failure("input.invalid", `Field "${where}name" must be a text.`, { field: `${where}name` });
  if (line["u"] === undefined)
    return failure("input.invalid", `Line "${name}" needs "u", its standard uncertainty.`, { field: `${where}u` });
  const finite = { ...line, ...(dof === null ? { dof: undefined } : {}) };
  const numbers = readNumbers(finite, ["value", "dof", "sensitivity", "shape"], where);
  if (!numbers.ok) return numbers;
  const u = readNumbers(line, ["u"], where);
  if (!u.ok) return u;
  const form =
    distribution === undefined ? success(undefined) : readWord(`${where}distribution`, distribution, distributions);
  if (!form.ok) return form;
  return success({
    name,
    u: u.value.u!,
    ...numbers.value,
    ...(form.value === undefined ? {} : { distribution: form.value }),
  });
};

const readLines = (value: unknown): Outcome<readonly BudgetLine[]> => {
  const rows = readList(value, lineFields, "lines");
  if (!rows.ok) return rows;
  const lines: BudgetLine[] = [];
  for (const [index, row] of rows.value.entries()) {
    const line = readLine(row, index);
    if (!line.ok) return line;
    lines.push(line.value);
  }
  return success(lines);
};

const readCorrelations = (value: unknown): Outcome<readonly Correlation[]> => {
  const rows = readList(value, ["a", "b", "r"], "correlations");
  if (!rows.ok) return rows;
  const correlations: Correlation[] = [];
  for (const [index, { a, b, r }] of rows.value.entries()) {
    const number = readNumbers({ r }, ["r"], `correlations[${index}].`);
    if (!number.ok) return number;
    if (typeof a !== "string" || typeof b !== "string" || number.value.r === undefined) {
      const words = `correlations[${index}] needs "a" and "b", the names of two lines, and "r".`;
      return failure("input.invalid", words, { field: `correlations[${index}]` });
    }
    correlations.push({ a, b, r: number.value.r });
  }
  return success(correlations);
};

const readBudget = (object: Readonly<Record<string, unknown>>): Outcome<Budget> => {
  const lines = readLines(object["lines"]);
  if (!lines.ok) return lines;
  const correlations = object["correlations"] === undefined ? success([]) : readCorrelations(object["correlations"]);
  if (!correlations.ok) return correlations;
  const settings = readNumbers(object, ["level", "k"]);
  if (!settings.ok) return settings;
  return success({ lines: lines.value, correlations: correlations.value, ...settings.value });
};

const usualSeed = 1;

const monteCarlo = (budget: Budget, value: unknown): Outcome<Simulated> => {
  const object = readFields(value, ["trials", "seed"], "monteCarlo");
  if (!object.ok) return object;
  const seed = readNumbers(object.value, ["seed"], "monteCarlo.");
  if (!seed.ok) return seed;
  const { trials } = object.value;
  if (trials !== "adaptive" && typeof trials !== "number") {
    const words = 'Field "monteCarlo.trials" must be a whole number, or "adaptive".';
    return failure("input.invalid", words, { field: "monteCarlo.trials" });
  }
  return simulateBudget(budget, { trials, seed: seed.value.seed ?? usualSeed });
};

const orNull = (dof: number): number | null => (Number.isFinite(dof) ? dof : null);

const inJson = ({ value, u, dof, k, U, level, lines }: CombinedBudget): object => ({
  value,
  u,
  dof: orNull(dof),
  k,
  U,
  level,
  lines: lines.map((line) => ({ ...line, dof: orNull(line.dof) })),
});

const answer = (value: unknown): Outcome<object> => {
  const object = readObject(value, ["lines", "correlations", "level", "k", "monteCarlo"]);
  if (!object.ok) return object;
  const budget = readBudget(object.value);
  if (!budget.ok) return budget;
  const combined = combine(budget.value);
  if (!combined.ok) return combined;
  const trials = object.value["monteCarlo"];
  const simulated = trials === undefined ? undefined : monteCarlo(budget.value, trials);
  if (simulated !== undefined && !simulated.ok) return simulated;
  return success({
    ...inJson(combined.value),
    advice: advise(budget.value, combined.value),
    ...(simulated === undefined ? {} : { monteCarlo: simulated.value }),
  });
};

/** `budget`: an uncertainty budget combined and expanded, by propagation and by Monte Carlo. */
export const budget: Command = {
  name: "budget",
  summary: "an uncertainty budget combined and expanded",
  help,
  run: (words, surroundings) => {
    if (words.length > 0)
      throw new Fault(
        "usage.wrong",
        `budget takes no words, only JSON on standard input; "${words[0]}" is one. dwellpoint budget --help tells more.`,
      );
    return answerDocument(surroundings, answer);
  },
};

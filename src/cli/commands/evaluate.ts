import { evaluate, explain, explanationText, passes, type ExplainedPlace, type Pass } from "#calibration";
import { Fault, unwrap } from "#fault";
import type { Command } from "../command.ts";
import { takeMonteCarlo, validated } from "../validation.ts";
import { readLog } from "../read-log.ts";
import { readWords } from "../words.ts";

const isPass = (word: string): word is Pass => (passes as readonly string[]).includes(word);

/** `ITEM/PASS/POINT`, the point counted from 1; an item's tag may itself hold a slash. */
const readPlace = (words: string): ExplainedPlace => {
  const parts = words.split("/");
  const point = Number(parts.pop());
  const pass = parts.pop() ?? "";
  if (!Number.isInteger(point) || point < 1 || !isPass(pass) || parts.length === 0) {
    throw new Fault("usage.wrong", `--explain wants ITEM/PASS/POINT, for example TT-101/as-found/2, not "${words}".`);
  }
  return { item: parts.join("/"), pass, point: point - 1 };
};

export const evaluateCommand: Command = {
  name: "evaluate",
  summary: "a run log to its result",
  help: `
dwellpoint evaluate LOG [--explain ITEM/PASS/POINT [--json]] [--monte-carlo [TRIALS]]

Reads a run log (JSON Lines) and prints its result as one JSON object: per item, pass and point the reference temperature,
the indication, the error, the budget line by line, U, the decision, and for every figure the log lines that it came from.
The same log gives the same digits, at any time and on any machine.

  --explain ITEM/PASS/POINT   prints how the figures of one point came about instead: raw readings, conversion, budget,
                              rule. ITEM is an item's id or tag, PASS as-found or as-left, POINT counts from 1.
  --json                      the derivation as JSON
  --monte-carlo [TRIALS]      validates each point by Monte Carlo through the real model (JCGM 101, clause 8): the result
                              gets "validation", a list of points with both intervals, how far they differ, and in words
                              whether they agree. TRIALS is 1000 to 10000000 (20000 where left out), or adaptive: as many as
                              it takes (clause 7.9). The seed is that of the run: the same log, the same digits.

Exit 0 all well, 1 the log cannot be used (the line is named) or there is no such point, 2 wrong usage.
`,
  run: async (words, surroundings) => {
    const { stdout } = surroundings;
    const { rest, asked } = takeMonteCarlo(words);
    const { values, positionals } = readWords("evaluate", rest, {
      explain: { type: "string" },
      json: { type: "boolean" },
    });
    const [file, ...more] = positionals;
    if (file === undefined || more.length > 0) {
      throw new Fault("usage.wrong", "evaluate wants one log file. dwellpoint evaluate --help tells more.");
    }
    if (values.explain === undefined) {
      if (values.json === true)
        throw new Fault("usage.wrong", "--json belongs to --explain; the result is JSON anyway.");
      const log = await readLog(file);
      const result = evaluate(log);
      const validation = asked === undefined ? {} : { validation: await validated(log, result, asked, surroundings) };
      stdout.write(`${JSON.stringify({ ...result, ...validation })}\n`);
      return 0;
    }
    if (asked !== undefined)
      throw new Fault("usage.wrong", "--monte-carlo belongs to the result of a whole log, not to --explain.");
    const place = readPlace(values.explain);
    const explanation = unwrap(explain(await readLog(file), place));
    stdout.write(values.json === true ? `${JSON.stringify(explanation)}\n` : explanationText(explanation));
    return 0;
  },
};

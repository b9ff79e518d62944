import { evaluate } from "#calibration";
import { diagnoseRun } from "#diagnosis";
import { Fault } from "#fault";
import type { Command } from "../command.ts";
import { readLog } from "../read-log.ts";
import { readWords } from "../words.ts";

/** `diagnose LOG`: what the pattern of a run's errors may mean. */
export const diagnose: Command = {
  name: "diagnose",
  summary: "what the pattern of a run's errors may mean",
  help: `
dwellpoint diagnose LOG [--text]

Reads a run log (JSON Lines), also of a run that is still open or was broken off, and says for each item and pass what is
probably wrong: wrong type, reversed wires, copper in the circuit, leads, moisture, immersion, wrong range, and others. One
JSON object: {"format":"dwellpoint-diagnosis/1","run","items":[{"item","tag","pass","verdict","healthy","points",
"suspicions":[{"fault","variant","words","probability","sureness","figures","errors","check","test"}],"together","next",
"sentence"}]}.

  verdict     nothing, unclear, or suspected; an ordinary error of calibration is no fault
  healthy     probability that nothing is there but an ordinary error
  suspicions  the likeliest first; the first "together" of them cannot be told apart by these points
  errors      errors of the points if it were so, K
  next        the further temperature that would tell best, and what each of the two likeliest expects there
  --text      the sentences alone, a line each

It decides nothing about conformity. Exit 0 also where a fault is suspected, 1 the log cannot be used, 2 wrong usage.
`,
  run: async (words, { stdout }) => {
    const { values, positionals } = readWords("diagnose", words, { text: { type: "boolean" } });
    const [file, ...more] = positionals;
    if (file === undefined || more.length > 0)
      throw new Fault("usage.wrong", "diagnose wants one log file. dwellpoint diagnose --help tells more.");
    const log = await readLog(file);
    const result = evaluate(log);
    const items = diagnoseRun(log, result);
    if (values.text === true) {
      const lines = items.map(({ pass, sentence }) => `${pass.replace("-", " ")}: ${sentence}\n`);
      stdout.write(lines.length === 0 ? "No point gives a pattern yet.\n" : lines.join(""));
    } else {
      stdout.write(`${JSON.stringify({ format: "dwellpoint-diagnosis/1", run: result.run, items })}\n`);
    }
    return 0;
  },
};

import { evaluate, passes, type Result, type RunEvent, type RunOpened } from "#calibration";
import { runEvidence } from "../evidence/run-evidence.ts";
import type { ItemDiagnosis } from "./diagnosis.ts";
import { diagnoseOverloads } from "./diagnose-overload.ts";
import { diagnoseBench } from "./diagnose-bench.ts";

/**
 * What the pattern of errors of a run may mean, item by item and pass by pass. A pure function of the log; `result` saves
 * evaluating it once more. It says nothing of conformity, and changes nothing in the result.
 */
export const diagnoseRun = (log: readonly RunEvent[], result: Result = evaluate(log)): readonly ItemDiagnosis[] =>
  passes
    .filter((pass) => result.items.some((item) => item.passes.some((entry) => entry.pass === pass)))
    .flatMap((pass) => {
      const overloads = diagnoseOverloads(log, (log[0] as RunOpened).job, pass);
      const others = diagnoseBench(runEvidence(log, result, pass), pass);
      return [...others.filter(({ item }) => overloads.every((overload) => overload.item !== item)), ...overloads];
    });

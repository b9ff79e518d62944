import { evaluate } from "#calibration";
import { diagnoseRun, type ItemDiagnosis } from "#diagnosis";
import type { drawCase, StudyCase } from "./cases.ts";
import { studyRun } from "./study-run.ts";

export interface StudyAnswer {
  /** The first suspicion, `healthy` where nothing is suspected. */
  readonly named: string;
  /** Whether the truth is among what is said together with the first. */
  readonly among: boolean;
  readonly probability: number;
  readonly verdict: ItemDiagnosis["verdict"];
  readonly diagnosis: ItemDiagnosis | undefined;
}

/** Runs a drawn case on the simulated bench, and asks what is wrong with its first item. */
export const judgeCase = (
  { truth }: StudyCase,
  { job, simulation }: ReturnType<typeof drawCase>,
  seed: number,
): StudyAnswer => {
  const log = studyRun(job, simulation, seed);
  const result = evaluate(log);
  const [diagnosis] = diagnoseRun(log, result);
  const verdict = diagnosis?.verdict ?? "nothing";
  const first = verdict === "nothing" ? undefined : diagnosis?.suspicions[0];
  const named = first?.fault ?? "healthy";
  const group = diagnosis?.suspicions.slice(0, diagnosis.together).map(({ fault }) => fault) ?? [];
  return {
    named,
    among: truth === "healthy" ? verdict !== "suspected" : group.includes(truth),
    probability: first?.probability ?? diagnosis?.healthy ?? 1,
    verdict,
    diagnosis,
  };
};

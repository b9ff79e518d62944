import type { UpkeepStep } from "../guide/steps.ts";

/** Guided steps as numbered lines; cautions stand out at their step. */
export const stepLines = (steps: readonly UpkeepStep[]): string[] => {
  let number = 0;
  return steps.flatMap((step) => {
    if (step.do === "caution") return [`   ! ${step.text}`];
    number += 1;
    const line = `${String(number).padStart(3)}. ${step.text}`;
    return step.do === "arrange" ? [`   ! ${step.caution}`, line] : [line];
  });
};

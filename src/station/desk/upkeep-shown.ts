import type { KitUpkeep, ShownStep, UpkeepFinding } from "#contract";
import type { UpkeepKind, UpkeepPlan, UpkeepResult } from "#upkeep";
import { stepsOf } from "#upkeep";

const titles: Readonly<Record<UpkeepKind, { readonly title: string; readonly about: string }>> = {
  characterisation: {
    title: "Characterisation",
    about:
      "Stability over half an hour, axial and radial uniformity, loading, hysteresis and error of the source's own indication.",
  },
  "pull-test": {
    title: "Pull test",
    about: "What conduction along the stem still costs at full depth, from readings at three depths.",
  },
  "self-heating": { title: "Two-current test", about: "By how much the measuring current warms the thermometer." },
  "reference-check": { title: "Check in ice", about: "R(0) now against the kit entry, with its control chart." },
};

type Columns = NonNullable<ShownStep["read"]>["columns"];

const columnsOf = (plan: UpkeepPlan, visit: Readonly<Record<string, unknown>>): Columns => {
  if (plan.kind === "self-heating" || plan.kind === "reference-check")
    return [{ name: "signal", label: "Resistance", unit: "Ω" }];
  const fixed = { name: "fixed", label: "Thermometer that stays", unit: plan.fixed.unit };
  const moved = plan.moved === undefined ? [] : [{ name: "moved", label: "Moved thermometer", unit: plan.moved.unit }];
  if (plan.kind === "pull-test") return [fixed, ...moved];
  const control = { name: "control", label: "Source's own indication", unit: "°C" };
  const part = visit["part"];
  return part === "stability" || part === "hysteresis" ? [fixed, control] : [fixed, ...moved];
};

/** The steps of a procedure for the page: a caution belongs to the step after it. */
export const shownSteps = (plan: UpkeepPlan): ShownStep[] => {
  const shown: ShownStep[] = [];
  let caution: string | null = null;
  let stay = 0;
  for (const step of stepsOf(plan)) {
    if (step.do === "caution") {
      caution = caution === null ? step.text : `${caution} ${step.text}`;
      continue;
    }
    const own = step.do === "arrange" ? step.caution : null;
    const read =
      step.do === "read"
        ? { stay, seconds: step.seconds, every: step.every, columns: columnsOf(plan, step.visit) }
        : null;
    if (read !== null) stay += 1;
    // What was just said is not said twice.
    const said = [caution, caution?.includes(own ?? "") === true ? null : own].filter((words) => words !== null);
    shown.push({ text: step.text, caution: said.length === 0 ? null : said.join(" "), read });
    caution = null;
  }
  return caution === null ? shown : [...shown, { text: "Put everything away.", caution, read: null }];
};

export const shownTest = (plan: UpkeepPlan): KitUpkeep["tests"][number] => ({
  kind: plan.kind,
  ...titles[plan.kind],
  steps: shownSteps(plan),
});

/** A result as the page has it. */
export const shownResult = (
  result: UpkeepResult,
  { number, approved }: Pick<UpkeepFinding, "number" | "approved">,
): UpkeepFinding => ({
  number,
  approved,
  kind: result.kind,
  at: result.at,
  by: result.by,
  rehearsal: result.rehearsal,
  verdict: result.verdict,
  statement: result.statement,
  figures: result.figures,
  everywhere: result.kind === "reference-check" ? result.everywhere : [],
  warnings: [...result.warnings],
  changes: (result.revision?.changes ?? []).map((change) => ({ ...change })),
});

import type { Hysteresis, PassResult, Result, RunEvent } from "#calibration";
import { equipmentOf } from "./conditions.ts";
import type { Equipment } from "./model.ts";
import { eventsOf, openedRun } from "./opened-run.ts";
import { decimal, setMinus, significant, withUnit } from "./typeset.ts";

const kelvin = (value: number): string => withUnit(setMinus(significant(value, 2)), "K");

/** Kit with which the run was begun, and behind it every entry that took another's place. */
export const equipmentUsed = (log: readonly RunEvent[]): readonly Equipment[] => {
  const { kit } = openedRun(log).job;
  const replaced = eventsOf(log, "kit-replaced").flatMap(({ reference, readout, source }) =>
    (["reference", "readout", "source"] as const).flatMap((role) => {
      const entry = { reference, readout, source }[role];
      if (entry === undefined) return [];
      return equipmentOf({ ...kit, [role]: entry })
        .filter((each) => each.role === role)
        .map((each) => ({ ...each, roleText: `${each.roleText}, in place of the other from its replacement on` }));
    }),
  );
  return [...equipmentOf(kit), ...replaced];
};

const hysteresisText = ({ nominal, difference, U }: Hysteresis): string =>
  `${withUnit(decimal(nominal), "°C")} was reached rising and falling: falling less rising ${kelvin(difference.value)} ± ${kelvin(U)}; half of it either way is part of U there.`;

/** What a pass shows of the way in which its points were reached: hysteresis, points that were added, its own check. */
export const wayRemarks = (pass: PassResult): readonly string[] => [
  ...(pass.hysteresis ?? []).map(hysteresisText),
  ...pass.points.flatMap((point) =>
    point.status === "measured" && point.added !== undefined
      ? [`The point at ${withUnit(decimal(point.nominal), "°C")} was added to those of the method: ${point.added}.`]
      : [],
  ),
  ...(pass.check === undefined ? [] : [pass.check.statement]),
];

/** Deviations that a run brought with it: kit that was replaced, and a closing check that failed or was not made. */
export const onSiteDeviations = ({ kitChanges = [], closingCheck }: Result): readonly string[] => [
  ...kitChanges.map(
    ({ role, from, to, reason }) =>
      `The ${role} ${from.serial} was replaced by ${to.serial} in the middle of the run: ${reason}.`,
  ),
  ...(closingCheck === undefined || closingCheck.status === "holds" ? [] : [closingCheck.statement]),
];

/** A closing check that holds is part of the evidence that the reference is what its certificate says. */
export const closingText = ({ closingCheck }: Result): string =>
  closingCheck?.status === "holds" ? ` ${closingCheck.statement}` : "";

import type { Conformity, MeasuredChange, Pass, SwitchResult } from "#contract";
import { nominal, placesFor, plain, signed, typeset, typesetError } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import type { Origin } from "../origin/origin-drawer.tsx";

/** Trip, reset or dead band of one pass, as the page shows it. */
export interface SwitchFinding {
  readonly key: string;
  readonly pass: Pass;
  readonly name: string;
  readonly what: "change" | "dead-band";
  readonly value: number;
  readonly unit: "°C" | "K";
  readonly reported: { readonly value: string; readonly U: string; readonly k: string };
  readonly deviation: string | null;
  readonly budget: MeasuredChange["budget"];
  readonly conformity: Conformity | null;
  readonly note: string | null;
  /** Limits of the value itself, in its unit. */
  readonly allowed: { readonly lower: number; readonly upper: number } | null;
  readonly origin: readonly number[];
}

export const changeName = ({
  role,
  contact,
  direction,
}: Pick<MeasuredChange, "role" | "contact" | "direction">): string => `${role}: ${contact}, ${direction}`;

/** What was found in a pass: the trip first, then the reset, then the dead band. */
export const findingsOf = (pass: Pass, result: SwitchResult): SwitchFinding[] => {
  const sides = result.rising.role === "trip" ? [result.rising, result.falling] : [result.falling, result.rising];
  const changes = sides.flatMap((side): SwitchFinding[] => {
    if (side.status !== "measured") return [];
    const { nominal: agreed, conformity } = side;
    return [
      {
        key: `${pass}.${side.role}`,
        pass,
        name: changeName(side),
        what: "change",
        value: side.temperature.value,
        unit: "°C",
        reported: { value: side.reported.temperature, U: side.reported.U, k: side.reported.k },
        deviation: side.reported.deviation,
        budget: side.budget,
        conformity,
        note: side.conformityNote,
        allowed:
          agreed === null || conformity === null
            ? null
            : { lower: agreed + conformity.tolerance.lower, upper: agreed + conformity.tolerance.upper },
        origin: side.temperature.origin,
      },
    ];
  });
  const { deadBand } = result;
  if (deadBand.status !== "measured") return changes;
  return [
    ...changes,
    {
      key: `${pass}.dead-band`,
      pass,
      name: "dead band",
      what: "dead-band",
      value: deadBand.value.value,
      unit: "K",
      reported: deadBand.reported,
      deviation: null,
      budget: deadBand.budget,
      conformity: deadBand.conformity,
      note: deadBand.conformityNote,
      allowed: deadBand.conformity?.tolerance ?? null,
      origin: deadBand.value.origin,
    },
  ];
};

/** What has no figure, with the reason. */
export const missingOf = (result: SwitchResult): string[] => [
  ...[result.rising, result.falling].flatMap((side) =>
    side.status === "measured" ? [] : [`${changeName(side)}: ${side.reason}`],
  ),
  ...(result.deadBand.status === "measured" ? [] : [`dead band: ${result.deadBand.reason}`]),
];

export const allowedText = ({ what, conformity }: SwitchFinding): string => {
  if (conformity === null) return "none";
  const { lower, upper } = conformity.tolerance;
  if (what === "dead-band") return `${nominal(lower)} to ${nominal(upper)} K`;
  return Math.abs(lower + upper) < 1e-9 ? `±${nominal(upper)} K` : `${signed(lower, 2)} to ${signed(upper, 2)} K`;
};

export const lagWords = ({ lag }: SwitchResult): string => {
  const seconds = `${plain(lag.seconds, 0)} s`;
  switch (lag.known) {
    case "declared":
      return `Corrected for the ramp: the switch trails the reference by ${seconds}, as declared.`;
    case "two-rates":
      return `Brought to rest from ramps at two rates: the switch trails the reference by ${seconds} ± ${plain(lag.u, 0)} s (standard uncertainty).`;
    case "bounded":
      return `Not corrected for the ramp: up to ${plain(lag.u * Math.sqrt(3), 0)} s of lag stand in the uncertainty.`;
  }
};

const cyclesWords =
  "Mean over the cycles of the reference at the moments of the change, each interpolated between the readings before and after; with what the ramp does taken off where it is known.";

export const findingOrigin = (finding: SwitchFinding, result: SwitchResult): Origin => {
  const { name, pass, reported, unit, deviation, origin, what } = finding;
  return {
    title: `${name}, ${passWords[pass]}`,
    value: `${typeset(reported.value)} ${unit}`,
    steps: [
      {
        title: what === "change" ? "Mean over the cycles" : "Change rising minus change falling",
        words: what === "change" ? cyclesWords : "What is common to both temperatures cancels in its uncertainty.",
      },
      { title: "The ramp", words: lagWords(result) },
      ...(deviation === null
        ? []
        : [{ title: "Deviation from what is agreed", words: `${typesetError(deviation)} K` }]),
      {
        title: `U = ${reported.U} K, k = ${reported.k}`,
        words: `From ${finding.budget.lines.length} lines; u = ${plain(finding.budget.u, placesFor(finding.budget.u, 5))} K.`,
      },
    ],
    lines: origin,
  };
};

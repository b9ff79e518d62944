import type { ItemResult, MeasuredPoint, Result, SwitchResult } from "#calibration";
import type { Finished } from "./outputs.ts";

const measured = (item: ItemResult): { pass: string; point: MeasuredPoint }[] =>
  item.passes.flatMap(({ pass, points }) =>
    points.flatMap((point) => (point.status === "measured" ? [{ pass, point }] : [])),
  );

/** Trip, reset and dead band as they are reported, or why they are not. */
const switchRecord = ({ rising, falling, deadBand }: SwitchResult): Record<string, unknown> => {
  const side = (change: SwitchResult["rising"]) =>
    change.status === "measured"
      ? { role: change.role, ...change.reported, decision: change.conformity?.decision ?? null }
      : { role: change.role, status: change.status, reason: change.reason, decision: change.decision };
  return {
    rising: side(rising),
    falling: side(falling),
    deadBand:
      deadBand.status === "measured"
        ? { ...deadBand.reported, decision: deadBand.conformity?.decision ?? null }
        : { status: deadBand.status, reason: deadBand.reason },
  };
};

/** The end of a run for a program that reads along: paths, and each decision with its figures as they are reported. */
export const summaryRecord = ({ result, validation, outputs, check }: Finished): Record<string, unknown> => ({
  kind: "summary",
  run: result.run,
  job: result.job,
  outcome: result.outcome,
  seconds: Math.round(result.duration),
  ...outputs,
  items: result.items.map((item) => ({
    item: item.item,
    tag: item.tag,
    adjustment: item.adjustment === null ? null : { zero: item.adjustment.zero, span: item.adjustment.span },
    passes: item.passes.map(({ pass, decision, points, switch: ofSwitch }) => ({
      pass,
      decision,
      ...(ofSwitch === undefined ? {} : { switch: switchRecord(ofSwitch) }),
      points: points.map((point) =>
        point.status === "measured"
          ? {
              point: point.point,
              nominal: point.nominal,
              status: point.status,
              ...point.reported,
              decision: point.conformity?.decision ?? null,
            }
          : { point: point.point, nominal: point.nominal, status: point.status, reason: point.reason },
      ),
    })),
  })),
  validation: validation.map(({ item, pass, point, ...validated }) => ({
    item,
    pass,
    point,
    ...(validated.status === "validated"
      ? { agreement: validated.check.agreement, side: validated.side }
      : { agreement: null, reason: validated.reason }),
  })),
  faults: result.faults.map(({ code, message }) => ({ code, message })),
  warnings: [...result.warnings, ...check.warnings.map(({ message }) => message)],
});

const words: Readonly<Record<string, string>> = {
  pass: "pass",
  "conditional-pass": "conditional pass",
  undecided: "no verdict",
  "conditional-fail": "CONDITIONAL FAIL",
  fail: "FAIL",
};

const switchLines = (pass: string, { rising, falling, deadBand }: SwitchResult): string[] => [
  ...[rising, falling].map((side) => {
    const name = `${side.role}, ${side.direction}`.padEnd(16);
    if (side.status !== "measured") return `  ${pass.padEnd(9)} ${name} ${side.reason}`;
    const verdict = side.conformity === null ? "" : (words[side.conformity.decision] ?? "");
    return `  ${pass.padEnd(9)} ${name} ${side.reported.temperature.padStart(10)} °C   U ${side.reported.U.padStart(7)} K   ${verdict}`;
  }),
  ...(deadBand.status === "measured"
    ? [
        `  ${pass.padEnd(9)} ${"dead band".padEnd(16)} ${deadBand.reported.value.padStart(10)} K    U ${deadBand.reported.U.padStart(7)} K   ${deadBand.conformity === null ? "" : (words[deadBand.conformity.decision] ?? "")}`,
      ]
    : []),
];

const table = (result: Result): string[] =>
  result.items.flatMap((item) => [
    item.tag,
    ...measured(item).map(({ pass, point }) => {
      const { reference, error, U } = point.reported;
      const verdict = point.conformity === null ? "" : (words[point.conformity.decision] ?? "");
      return `  ${pass.padEnd(9)} ${reference.padStart(10)} °C   error ${error.padStart(8)} K   U ${U.padStart(7)} K   ${verdict}`;
    }),
    ...item.passes.flatMap(({ pass, switch: ofSwitch }) => (ofSwitch === undefined ? [] : switchLines(pass, ofSwitch))),
  ]);

/** The end of a run for a person; the last line tells where everything is. */
export const summaryLines = ({ result, outputs, check }: Finished): string[] => {
  const files = [
    outputs.log,
    outputs.result,
    outputs.check,
    ...(outputs.certificate === null ? [] : [outputs.certificate.pdf, outputs.certificate.xml]),
  ];
  const decisions = result.items
    .flatMap((item) =>
      item.passes.map(
        ({ pass, decision }) =>
          `${item.tag} ${pass}: ${decision === null ? "nothing measured" : (words[decision] ?? decision)}`,
      ),
    )
    .join("; ");
  return [
    "",
    ...table(result),
    "",
    ...result.warnings.map((warning) => `Note: ${warning}`),
    ...check.warnings.map(({ message }) => `Note: ${message}`),
    ...(outputs.withheld === null ? [] : [outputs.withheld]),
    `${result.run} ${result.outcome}. ${decisions}. Files: ${files.join(", ")}`,
  ];
};

import type { Brought, Difference, EntryCheck, Proposal } from "#intake";

const marks: Readonly<Record<EntryCheck["state"], string>> = { holds: "ok     ", caution: "look   ", fails: "WRONG  " };

const said = (label: string, value: string | number | null | undefined): string[] =>
  value === null || value === undefined ? [] : [`  ${label.padEnd(14)} ${value}`];

const figure = (value: Brought["calibration"]["uncertainty"]): string | null => {
  if (value === null || value === undefined) return null;
  return typeof value === "number"
    ? `${value} K`
    : value.map(({ temperature, value: U }) => `${U} K at ${temperature} °C`).join(", ");
};

const coefficients = (sensor: Brought["sensor"]): string[] => {
  if (sensor === null) return [];
  const { kind, ...rest } = sensor;
  return said("sensor", `${kind} ${JSON.stringify(rest)}`);
};

const understood = (brought: Brought): string[] => {
  const { identity, calibration, range, points, checkValues } = brought;
  return [
    brought.source,
    ...said("serial", identity.serial),
    ...said("data sheet", identity.dataSheet),
    ...said("maker", identity.manufacturer),
    ...said("model", identity.model),
    ...said("what", identity.description),
    ...identity.further.flatMap(({ label, value }) => said(label, value)),
    ...said("certificate", calibration.certificate),
    ...said("laboratory", calibration.laboratory),
    ...said("calibrated", calibration.date),
    ...said("due", calibration.due),
    ...said("U", figure(calibration.uncertainty)),
    ...said("k", calibration.k),
    ...coefficients(brought.sensor),
    ...said("range", range === null ? null : `${range.minimum} °C to ${range.maximum} °C`),
    ...said("points", points.length === 0 ? null : points.length),
    ...said("check values", checkValues.length === 0 ? null : checkValues.length),
  ];
};

/** Both texts, and under the second a mark below the first sign that differs. */
const difference = ({ path, before, after, from }: Difference): string[] => {
  if (before === null) return [`  ${path}`, `    new  ${after}`];
  if (after === null) return [`  ${path}`, `    was  ${before}`, "    gone"];
  return [`  ${path}`, `    was  ${before}`, `    is   ${after}`, `         ${" ".repeat(from)}^`];
};

/** What was understood, what was checked and what would change, for a person at a terminal. */
export const kitText = (brought: Brought, proposal: Proposal): string => {
  const { known, missing, checks, differences, effects, notes, unchanged, approvable } = proposal;
  const lines = [
    ...understood(brought),
    ...notes.map((note) => `  note           ${note}`),
    "",
    known === null ? "Not in the kit yet." : `Kit entry ${known.entry.id}, revision ${known.entry.revision}.`,
    ...missing.map(({ field, words }) => `missing  ${field}: ${words}`),
    ...checks.map(({ state, words }) => `${marks[state]}  ${words}`),
    ...(differences.length === 0 ? [] : ["", `What revision ${(known?.entry.revision ?? 0) + 1} would change:`]),
    ...differences.flatMap(difference),
    ...effects.map(
      ({ temperature, kelvin }) => `  at ${temperature} °C it reads ${(kelvin * 1000).toFixed(2)} mK more than before`,
    ),
    "",
    unchanged
      ? "It says what the kit says already."
      : approvable
        ? "It can be approved."
        : "It cannot be approved like this.",
  ];
  return `${lines.join("\n")}\n`;
};

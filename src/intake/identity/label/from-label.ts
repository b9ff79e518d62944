import type { Brought, BroughtCalibration, BroughtEntry } from "../brought.ts";

const calibrationOf = ({ entry }: BroughtEntry): BroughtCalibration => {
  if (!("calibration" in entry))
    return { certificate: null, laboratory: null, date: null, due: null, uncertainty: null, k: null };
  const { certificate, laboratory, date, due, uncertainty, k } = entry.calibration;
  return { certificate, laboratory, date, due, uncertainty: uncertainty ?? null, k };
};

/** A label of ours in the common form: it carries the whole entry, so nothing is left to be asked. */
export const fromLabel = (brought: BroughtEntry): Brought => {
  const { kind, entry } = brought;
  const reference = kind === "reference" ? entry : null;
  return {
    form: "label",
    source: `Label of kit entry ${entry.id}, revision ${entry.revision}`,
    identity: {
      serial: entry.serial,
      manufacturer: null,
      model: entry.model ?? null,
      description: entry.description,
      dataSheet: entry.dataSheet ?? null,
      further: [{ label: "Kit entry", value: entry.id }],
    },
    calibration: calibrationOf(brought),
    sensor: reference?.sensor ?? null,
    unit: reference?.unit ?? null,
    range: "range" in entry ? entry.range : null,
    checkValues: (reference?.calibration.checkValues ?? []).map(({ digits, ...value }) =>
      digits === undefined ? value : { ...value, digits },
    ),
    points: [],
    tables: [],
    entry: brought,
    notes: [],
  };
};

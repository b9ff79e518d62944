import { checkReference, type KitCalibration, type MeasuredPoint } from "#calibration";
import type { CheckInput } from "./check-input.ts";
import { isDay } from "./calendar.ts";
import type { Finding } from "./model.ts";
import { eventsOf, openedRun, performanceDays } from "./opened-run.ts";
import { decimal, withUnit } from "./typeset.ts";

const validity = (
  role: string,
  serial: string,
  calibration: KitCalibration,
  days: { begun: string; ended: string },
): readonly Finding[] => {
  if (!isDay(calibration.date) || !isDay(calibration.due)) return [];
  if (calibration.due < days.ended) {
    return [
      {
        clause: "6.4.6",
        message: `The ${role} ${serial} was out of calibration: its certificate ${calibration.certificate} held until ${calibration.due}, and the work ended on ${days.ended}. Measure again with a ${role} in calibration.`,
      },
    ];
  }
  if (calibration.date > days.begun) {
    return [
      {
        clause: "6.4.6",
        message: `The calibration of the ${role} ${serial}, certificate ${calibration.certificate}, is of ${calibration.date}, after the work began on ${days.begun}. Use the revision of the kit that held on the day of the work.`,
      },
    ];
  }
  return [];
};

const traceable = (role: string, serial: string, calibration: KitCalibration): readonly Finding[] =>
  [calibration.certificate, calibration.laboratory].some((text) => text.trim() === "") ||
  !isDay(calibration.date) ||
  !isDay(calibration.due)
    ? [
        {
          clause: "7.8.4.1 c",
          message: `The ${role} ${serial} has no complete calibration (certificate, laboratory, date, due), so the results are not traceable. Complete it in the kit.`,
        },
      ]
    : [];

const rangeStops = ({ log, result }: CheckInput): readonly Finding[] => {
  const { reference } = openedRun(log).job.kit;
  // A reference that took another's place may reach further; each point was held against its own when it was evaluated.
  const ranges = [reference, ...eventsOf(log, "kit-replaced").flatMap((event) => event.reference ?? [])].map(
    ({ range }) => range,
  );
  const minimum = Math.min(...ranges.map((range) => range.minimum));
  const maximum = Math.max(...ranges.map((range) => range.maximum));
  const outside = new Set(
    result.items
      .flatMap((item) => item.passes.flatMap((pass) => pass.points))
      .filter((point): point is MeasuredPoint => point.status === "measured")
      .filter((point) => point.reference.value < minimum || point.reference.value > maximum)
      .map((point) => withUnit(decimal(point.nominal), "°C")),
  );
  return [...outside].map((point) => ({
    clause: "7.8.4.1 c",
    message: `The point at ${point} lies outside the range of the reference ${reference.serial}, ${withUnit(decimal(minimum), "°C")} to ${withUnit(decimal(maximum), "°C")}. Measure it with a reference calibrated there, or leave it out with a reason.`,
  }));
};

/** Coefficients that were copied wrongly (ISO/IEC 17025:2017, 7.11.6: transfers of data are checked). */
const copyingStops = ({ log }: CheckInput): readonly Finding[] => {
  const fault = checkReference(openedRun(log).job.kit.reference)?.fault ?? null;
  return fault === null ? [] : [{ clause: "7.11.6", message: fault.message }];
};

/** Traceability through equipment that was in calibration (ISO/IEC 17025:2017, 6.4.6, 6.5 and 7.8.4.1 c). */
export const kitStops = (input: CheckInput): readonly Finding[] => {
  const opened = openedRun(input.log);
  const { reference, readout } = opened.job.kit;
  const days = performanceDays(opened, input.result);
  const hasUncertainty =
    typeof reference.calibration.uncertainty === "number"
      ? reference.calibration.uncertainty > 0
      : reference.calibration.uncertainty.some((row) => row.value > 0);
  return [
    ...traceable("reference", reference.serial, reference.calibration),
    ...traceable("readout", readout.serial, readout.calibration),
    ...eventsOf(input.log, "kit-replaced").flatMap((event) => [
      ...(event.reference === undefined
        ? []
        : [
            ...traceable("reference", event.reference.serial, event.reference.calibration),
            ...validity("reference", event.reference.serial, event.reference.calibration, days),
          ]),
      ...(event.readout === undefined
        ? []
        : [
            ...traceable("readout", event.readout.serial, event.readout.calibration),
            ...validity("readout", event.readout.serial, event.readout.calibration, days),
          ]),
    ]),
    ...validity("reference", reference.serial, reference.calibration, days),
    ...validity("readout", readout.serial, readout.calibration, days),
    ...(hasUncertainty
      ? []
      : [
          {
            clause: "7.8.4.1 c",
            message: `The calibration of the reference ${reference.serial} states no uncertainty, so the results are not traceable. Enter the U of its certificate.`,
          },
        ]),
    ...copyingStops(input),
    ...rangeStops(input),
  ];
};

/** What is worth a look about the kit. */
export const kitWarnings = ({ log }: CheckInput): readonly Finding[] => {
  const { source } = openedRun(log).job.kit;
  return source.characterised === undefined
    ? [
        {
          clause: "6.4.6",
          message: `The heat source ${source.serial} does not say when its uniformity and stability were determined. Give characterised in the kit.`,
        },
      ]
    : [];
};

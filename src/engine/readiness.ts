import { failure, success, type FaultValue, type Outcome } from "#fault";
import { checkReference, type Job, type KitCalibration } from "#calibration";

const covers = (calibration: KitCalibration, day: string): boolean => calibration.date <= day && day <= calibration.due;

const kitObstacles = (job: Job, day: string): FaultValue[] => {
  const { reference, readout } = job.kit;
  return [
    { what: `Reference ${reference.serial} (${reference.description})`, calibration: reference.calibration },
    { what: `Readout ${readout.serial} (${readout.description})`, calibration: readout.calibration },
  ]
    .filter(({ calibration }) => !covers(calibration, day))
    .map(({ what, calibration }) => ({
      code: "kit.out-of-calibration" as const,
      message:
        day > calibration.due
          ? `${what} was due for calibration on ${calibration.due}, and the work is on ${day}. Use another one, or have it calibrated and enter the new certificate.`
          : `${what} has a certificate dated ${calibration.date}, after the day of the work (${day}). Check the dates.`,
      data: { certificate: calibration.certificate, date: calibration.date, due: calibration.due, day },
    }));
};

/** Coefficients that do not give the check values of their own report. */
const copyingObstacles = ({ kit }: Job): FaultValue[] => {
  const fault = checkReference(kit.reference)?.fault ?? null;
  return fault === null ? [] : [fault];
};

/** Every temperature limit that a set point would cross; an empty list where it is allowed. */
export const limitsCrossed = (job: Job, temperature: number): FaultValue[] => {
  const { reference, source } = job.kit;
  const limits = [
    { what: `heat source ${source.serial}`, code: "kit.out-of-range" as const, ...source.range },
    { what: `reference ${reference.serial}`, code: "kit.out-of-range" as const, ...reference.range },
    ...job.items.map((item) => ({ what: `item ${item.tag}`, code: "item.out-of-range" as const, ...item.limits })),
  ];
  return limits
    .filter(({ minimum, maximum }) => temperature < minimum || temperature > maximum)
    .map(({ what, code, minimum, maximum }) => ({
      code,
      message: `${temperature} °C is outside what ${what} may see (${minimum} °C to ${maximum} °C). Leave the point out, or choose a kit that covers it.`,
      data: { temperature, minimum, maximum },
    }));
};

/** Everything that stands in the way of a run on a day (`2026-11-25`); empty when nothing does. */
export const obstaclesOf = (job: Job, day: string): readonly FaultValue[] => [
  ...kitObstacles(job, day),
  ...copyingObstacles(job),
  ...job.procedure.points.flatMap(({ temperature }) => limitsCrossed(job, temperature)),
];

/** Whether a run may begin on a day. The first obstacle is the fault; all of them are in its data. */
export const checkReadiness = (job: Job, day: string): Outcome<null> => {
  const obstacles = obstaclesOf(job, day);
  const [first] = obstacles;
  return first === undefined ? success(null) : failure(first.code, first.message, { ...first.data, obstacles });
};

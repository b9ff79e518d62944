import { failure, success, type FaultValue, type Outcome } from "#fault";
import { checkReference, limitsOf, rangesOf, type Job, type KitCalibration } from "#calibration";

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

const codes = {
  job: "run.limit",
  source: "kit.out-of-range",
  reference: "kit.out-of-range",
  item: "item.out-of-range",
} as const;

/** Every temperature limit that a set point would cross, the job's own first; an empty list where it is allowed. */
export const limitsCrossed = (job: Job, temperature: number): FaultValue[] =>
  rangesOf(job)
    .filter(({ minimum, maximum }) => temperature < minimum || temperature > maximum)
    .map(({ what, owner, minimum, maximum }) => ({
      code: codes[owner],
      message: `${temperature} °C is outside what ${what} may see (${minimum} °C to ${maximum} °C). Leave the point out, or choose a kit that covers it.`,
      data: { temperature, minimum, maximum },
    }));

/** A slow ramp of the procedure that is faster than something may see. */
const rampObstacles = (job: Job): FaultValue[] => {
  const { ramp } = limitsOf(job);
  const rate = job.procedure.ramp?.rate;
  if (ramp === null || rate === undefined || rate <= ramp.value) return [];
  return [
    {
      code: "run.limit",
      message: `The procedure's ramp of ${rate} K/min is faster than the ${ramp.value} K/min that ${ramp.whose} may see. Write a slower ramp.rate.`,
      data: { rate, limit: ramp.value },
    },
  ];
};

/** Everything that stands in the way of a run on a day (`2026-11-25`); empty when nothing does. */
export const obstaclesOf = (job: Job, day: string): readonly FaultValue[] => [
  ...kitObstacles(job, day),
  ...copyingObstacles(job),
  ...job.procedure.points.flatMap(({ temperature }) => limitsCrossed(job, temperature)),
  ...rampObstacles(job),
];

/** Whether a run may begin on a day. The first obstacle is the fault; all of them are in its data. */
export const checkReadiness = (job: Job, day: string): Outcome<null> => {
  const obstacles = obstaclesOf(job, day);
  const [first] = obstacles;
  return first === undefined ? success(null) : failure(first.code, first.message, { ...first.data, obstacles });
};

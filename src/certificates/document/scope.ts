import { figureAt, type Capability, type Item, type Job, type PassResult, type Result } from "#calibration";

type Row = Capability[number];

/** A result as the laboratory's capability looks at it: where, and with which U. Temperatures in °C, U in K. */
export interface StatedResult {
  readonly item: Item;
  readonly pass: PassResult["pass"];
  readonly temperature: number;
  readonly U: number;
  /** U as it is printed. */
  readonly printed: string;
}

const rowAt = (capability: Capability, item: Item, temperature: number): Row | undefined =>
  capability
    .filter(({ sensors, from, to }) => {
      const kinds: readonly string[] | undefined = sensors;
      return (kinds === undefined || kinds.includes(item.sensor.kind)) && temperature >= from && temperature <= to;
    })
    .toSorted((a, b) => figureAt(a.U, temperature) - figureAt(b.U, temperature))[0];

const resultsOf = (item: Item, pass: PassResult): readonly StatedResult[] => [
  ...pass.points.flatMap((point) =>
    point.status === "measured"
      ? [{ item, pass: pass.pass, temperature: point.nominal, U: point.budget.U, printed: point.reported.U }]
      : [],
  ),
  ...[pass.switch?.rising, pass.switch?.falling].flatMap((side) =>
    side?.status === "measured"
      ? [
          {
            item,
            pass: pass.pass,
            temperature: side.temperature.value,
            U: side.budget.U,
            printed: side.reported.U,
          },
        ]
      : [],
  ),
];

const allResults = (job: Job, result: Result): readonly StatedResult[] =>
  result.items.flatMap((each) => {
    const item = job.items.find(({ id }) => id === each.item);
    return item === undefined ? [] : each.passes.flatMap((pass) => resultsOf(item, pass));
  });

/** Temperatures of a pass that the laboratory's capability does not reach, each once; none where it states no capability. */
export const outsideScope = ({ laboratory }: Job, item: Item, pass: PassResult): readonly number[] => {
  const { capability } = laboratory;
  if (capability === undefined || laboratory.accreditation === undefined) return [];
  const outside = resultsOf(item, pass).filter(({ temperature }) => rowAt(capability, item, temperature) === undefined);
  return [...new Set(outside.map(({ temperature }) => temperature))];
};

/**
 * Whether every result lies within the laboratory's capability; null where the job states none. Only then may a certificate
 * refer to the accreditation (ILAC-P8, from memory).
 */
export const withinScope = (job: Job, result: Result): boolean | null => {
  const { capability } = job.laboratory;
  if (capability === undefined) return null;
  const all = allResults(job, result);
  return all.length > 0 && all.every(({ item, temperature }) => rowAt(capability, item, temperature) !== undefined);
};

/** Results whose printed U is smaller than the laboratory's capability there, each with that capability, K. */
export const belowCapability = (job: Job, result: Result): readonly (StatedResult & { readonly least: number })[] => {
  const { capability } = job.laboratory;
  if (capability === undefined) return [];
  return allResults(job, result).flatMap((each) => {
    const row = rowAt(capability, each.item, each.temperature);
    if (row === undefined) return [];
    const least = figureAt(row.U, each.temperature);
    return Number(each.printed) < least * (1 - 1e-9) ? [{ ...each, least }] : [];
  });
};

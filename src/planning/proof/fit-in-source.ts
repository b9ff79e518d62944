import type { Job, Source } from "#calibration";
import type { FaultValue } from "#fault";

/** Largest clearance of a probe in a dry well, mm: up to 660 °C, and above (DKD-R 5-4, from memory). */
const clearanceBelow660 = 0.5;
const clearanceAbove660 = 1;
/** Immersion in a dry well in outer diameters, unless the source was characterised otherwise (DKD-R 5-4, from memory). */
const diametersDeep = 15;

interface Probe {
  readonly what: string;
  readonly id: string;
  readonly diameter: number | undefined;
  readonly immersion: number | undefined;
  /** Heat conduction along its stem stands in the budget, so a short immersion is accounted for. */
  readonly conductionKnown: boolean;
}

const probesOf = ({ items, kit }: Job): Probe[] => [
  {
    what: `reference ${kit.reference.id}`,
    id: kit.reference.id,
    diameter: kit.reference.diameter,
    immersion: kit.reference.immersion,
    conductionKnown: false,
  },
  ...items.map(({ id, tag, diameter, immersion, contributions }) => ({
    what: tag,
    id,
    diameter,
    immersion,
    conductionKnown: contributions.stemConduction !== undefined,
  })),
];

const unfit = (message: string, data: Record<string, unknown>): FaultValue => ({ code: "kit.unfit", message, data });

const depthFaults = (source: Source, { what, id, diameter, immersion, conductionKnown }: Probe): FaultValue[] => {
  if (immersion === undefined) return [];
  const depth = Math.max(source.depth ?? 0, ...(source.wells ?? []).map((well) => well.depth ?? source.depth ?? 0));
  const faults: FaultValue[] = [];
  if (depth > 0 && immersion > depth)
    faults.push(
      unfit(
        `${what} is to be ${immersion} mm deep, and ${source.id} has ${depth} mm. Use a deeper source, or say the depth that it really gets.`,
        { id, immersion, depth },
      ),
    );
  if (source.class !== "bath" && diameter !== undefined && immersion < diametersDeep * diameter && !conductionKnown)
    faults.push(
      unfit(
        `${what} would be only ${immersion} mm deep in a dry well, ${(immersion / diameter).toFixed(0)} times its diameter of ${diameter} mm; ${diametersDeep} times are asked for (${diametersDeep * diameter} mm), and nothing in the budget stands for the heat along its stem. Put it deeper, use a bath, or find its stem conduction by pulling it out a little and state it.`,
        { id, immersion, diameter },
      ),
    );
  return faults;
};

/** Which wells a probe may use, by place in the list. */
const wellsFor = (source: Source, hottest: number, { diameter }: Probe): readonly number[] => {
  const clearance = hottest > 660 ? clearanceAbove660 : clearanceBelow660;
  return (source.wells ?? []).flatMap((well, index) =>
    diameter === undefined || (well.diameter >= diameter && well.diameter - diameter <= clearance + 1e-9)
      ? [index]
      : [],
  );
};

/**
 * Whether probes find a well each, and which: the choosiest first, each into the tightest well that is free. Wells sorted by
 * bore fit nested sets of probes closely enough that this finds a way where there is one. Null where one is left over.
 */
const placed = (source: Source, hottest: number, probes: readonly Probe[]): Probe | null => {
  const free = (source.wells ?? []).map(({ count }) => count);
  const byChoice = probes
    .map((probe) => ({ probe, wells: wellsFor(source, hottest, probe) }))
    .sort((a, b) => (b.probe.diameter ?? 0) - (a.probe.diameter ?? 0));
  for (const { probe, wells } of byChoice) {
    const well = wells
      .filter((index) => free[index]! > 0)
      .toSorted((a, b) => source.wells![b]!.diameter - source.wells![a]!.diameter)[0];
    if (well === undefined) return probe;
    free[well] = free[well]! - 1;
  }
  return null;
};

const wellFaults = (source: Source, hottest: number, probes: readonly Probe[]): FaultValue[] => {
  const { wells } = source;
  if (wells === undefined || source.class === "bath") return [];
  const sizes = wells.map(({ diameter, count }) => `${count} of ${diameter} mm`).join(", ");
  const alone = probes.filter((probe) => wellsFor(source, hottest, probe).length === 0);
  if (alone.length > 0)
    return alone.map(({ what, id, diameter }) =>
      unfit(
        `No well of ${source.id} (${sizes}) fits ${what} of ${diameter} mm: a hole may be wider by ${hottest > 660 ? clearanceAbove660 : clearanceBelow660} mm at most. Take another insert or a sleeve.`,
        { id, diameter },
      ),
    );
  const left = placed(source, hottest, probes);
  if (left === null) return [];
  return [
    unfit(
      `${source.id} has no well left for ${left.what} (${sizes} for ${probes.length} probes, the reference included). Take another insert, or make two jobs of it.`,
      { id: left.id, probes: probes.length },
    ),
  ];
};

/** Everything about the wells of the source and the depth of the probes that does not fit, where the job gives these figures (rule P9). */
export const fitInSource = (job: Job): FaultValue[] => {
  const probes = probesOf(job);
  const hottest = Math.max(...job.procedure.points.map(({ temperature }) => temperature));
  return [
    ...probes.flatMap((probe) => depthFaults(job.kit.source, probe)),
    ...wellFaults(job.kit.source, hottest, probes),
  ];
};

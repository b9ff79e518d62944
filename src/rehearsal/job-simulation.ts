import { probeLags, simulationSchema, type SimulationInput } from "#bench";
import type { Item, Job } from "#calibration";
import { drawnBench, scaledLags, type Chance } from "./draw.ts";
import type { Physics } from "./physics.ts";

const lagsOf = (job: Job, item: Item): readonly [number, number] => {
  const lags = probeLags[job.kit.source.class];
  const { kind } = item.sensor;
  return kind === "thermocouple" || kind === "platinum" || kind === "loop" ? lags[kind] : lags.other;
};

/**
 * The simulated bench of a job in one rehearsed run: what the job says of it stays; what it leaves open is drawn. The item's
 * own error and what the kit hides are drawn by the bench itself.
 */
export const jobSimulation = (job: Job, physics: Physics, chance: Chance): SimulationInput => {
  const said = (job.bench.simulation ?? {}) as SimulationInput;
  simulationSchema.parse(said);
  const first = job.procedure.points[0]?.temperature ?? chance.ambient;
  const drawn = drawnBench(chance, physics, job.kit.source.class, first);
  // A job that says nothing of where the source begins means a cold start.
  const { start: _cold, ...source } = drawn.source;
  const items = Object.fromEntries(
    job.items.map((item) => {
      const own = said.items?.[item.channel] ?? {};
      return [
        item.channel,
        {
          lags: scaledLags(lagsOf(job, item), chance.itemLag),
          ...(physics.looseFit === null ? {} : { looseFit: physics.looseFit }),
          ...own,
        },
      ];
    }),
  );
  return {
    ambient: drawn.ambient,
    ambientDrift: drawn.ambientDrift,
    ...said,
    source: { ...source, ...said.source },
    reference: {
      lags: scaledLags(probeLags[job.kit.source.class].reference, chance.referenceLag),
      ...said.reference,
    },
    items: { ...said.items, ...items },
  };
};

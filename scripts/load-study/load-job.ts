import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Job } from "#calibration";
import { unwrap } from "#fault";
import { loadJob } from "#intake";

export interface Load {
  /** Inputs of the readout that are read: the reference and items. The source's own channel is read beside them. */
  readonly channels: number;
  /** Readings a second of each channel. */
  readonly rate: number;
  /** Rest before a point may be measured, s; makes a run of hours out of a few points. */
  readonly soak: number;
  readonly points: readonly number[];
  /** Where the instruments are, by their names; simulated in the station's own process where nothing is said. */
  readonly at?: Readonly<Record<string, string>>;
}

/** The example in the bath with as many items as the readout has inputs, read as fast as is asked. All of it invented. */
export const loadJobOf = (root: string, { channels, rate, soak, points, at = {} }: Load): Job => {
  const path = join(root, "examples", "pt100-four-wire.yaml");
  const job = unwrap(loadJob(readFileSync(path, "utf8"), path));
  const numbers = Array.from({ length: channels - 1 }, (_, index) => index + 1);
  const [item] = job.items;
  const [own] = Object.values((job.bench.simulation?.["items"] ?? {}) as Record<string, unknown>);
  const readout = job.bench.instruments.find(({ role }) => role === "readout")!.id;
  return {
    ...job,
    job: "LOAD-1",
    title: `Load: ${channels} channels at ${rate} readings a second`,
    items: numbers.map((number) => ({
      ...item!,
      id: `item-${number}`,
      tag: `TT-${300 + number}`,
      serial: `load-${number}`,
      channel: `item-${number}`,
    })),
    procedure: {
      ...job.procedure,
      points: points.map((temperature) => ({ temperature })),
      readings: { count: Math.round(20 * rate), interval: 1 / rate },
      settling: {
        ...job.procedure.settling,
        longestWait: 5400 + soak,
        ...(soak === 0 ? {} : { rules: { judgement: "both" as const, soak, reachedWithin: 1, limits: [] } }),
      },
    },
    bench: {
      ...job.bench,
      instruments: job.bench.instruments.map((each) => ({ ...each, at: at[each.id] ?? "simulated" })),
      channels: {
        reference: { instrument: readout, input: 1, unit: "Ω" },
        source: job.bench.channels["source"]!,
        ...Object.fromEntries(
          numbers.map((number) => [`item-${number}`, { instrument: readout, input: number + 1, unit: "Ω" as const }]),
        ),
      },
      simulation: {
        ...job.bench.simulation,
        items: Object.fromEntries(numbers.map((number) => [`item-${number}`, own ?? {}])),
      },
    },
  };
};

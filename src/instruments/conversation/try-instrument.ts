import type { Outcome } from "#fault";
import type { InstrumentEntry } from "../drivers/entry.ts";
import type { BenchChannel } from "./bench-port.ts";
import { openAlone, type AloneOptions, type WantedInput } from "./open-alone.ts";

/** What was read on one input, and what it was taken for. */
export interface TriedInput extends WantedInput {
  readonly outcome: Outcome<{ readonly value: number; readonly wire: string }>;
}

export interface Trial {
  readonly identity: Outcome<string>;
  readonly inputs: readonly TriedInput[];
  /** What came of the set point that was asked for; null where none was. */
  readonly setPoint: Outcome<null> | null;
}

/** The inputs to try: those that were asked for, else the first of each unit. */
export const wantedInputs = (
  entry: InstrumentEntry,
  unit: string | undefined,
  input: number | undefined,
): readonly WantedInput[] =>
  Object.entries(entry.read)
    .filter(([known]) => unit === undefined || known === unit)
    .map(([known, { inputs }]) => ({ unit: known as BenchChannel["unit"], input: input ?? inputs.first }));

/**
 * Opens one instrument by its entry, asks what it is, and reads each input `count` times. Nothing is commanded but a set
 * point where one was asked for; the output is left as it is. An aborted signal breaks it off; what was asked then fails.
 * Throws a Fault where the entry cannot read what is wanted.
 */
export const tryInstrument = async (
  options: AloneOptions & {
    readonly count: number;
    readonly setPoint: number | null;
    readonly signal?: AbortSignal | undefined;
  },
): Promise<Trial> => {
  const { inputs, count, setPoint, signal } = options;
  const { bench, readInputs } = openAlone(options);
  const breakOff = () => void bench.close();
  signal?.addEventListener("abort", breakOff, { once: true });
  if (signal?.aborted === true) breakOff();
  try {
    const prepared = await bench.prepare();
    if (!prepared.ok) return { identity: prepared, inputs: [], setPoint: null };
    const tried: TriedInput[] = [];
    for (let round = 0; round < count; round += 1) {
      const answers = await readInputs();
      tried.push(...answers.map(({ outcome }, index) => ({ ...inputs[index]!, outcome })));
    }
    return {
      identity: { ok: true, value: prepared.value[0]!.identification },
      inputs: tried,
      setPoint: setPoint === null ? null : await bench.commandSetPoint(setPoint),
    };
  } finally {
    signal?.removeEventListener("abort", breakOff);
    await bench.close();
  }
};

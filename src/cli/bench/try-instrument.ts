import type { Outcome } from "#fault";
import {
  connectWire,
  listSerialPorts,
  modbusBuses,
  openBench,
  replayConnections,
  type BenchChannel,
  type Frame,
  type InstrumentEntry,
  type RecordedFrame,
} from "#instruments";

/** What was read on one input, and what it was taken for. */
export interface TriedInput {
  readonly unit: string;
  readonly input: number;
  readonly outcome: Outcome<{ readonly value: number; readonly wire: string }>;
}

export interface Trial {
  readonly identity: Outcome<string>;
  readonly inputs: readonly TriedInput[];
  /** What came of the set point that was asked for; null where none was. */
  readonly setPoint: Outcome<null> | null;
}

interface WantedInput {
  readonly unit: BenchChannel["unit"];
  readonly input: number;
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

const id = "instrument";

/**
 * Opens one instrument by its entry, asks what it is, and reads each input `count` times. Nothing is commanded but a set
 * point where one was asked for; the output is left as it is.
 */
export const tryInstrument = async (options: {
  readonly entry: InstrumentEntry;
  readonly at: string;
  readonly inputs: readonly WantedInput[];
  readonly count: number;
  readonly setPoint: number | null;
  readonly observe: (frame: RecordedFrame) => void;
  /** A recording to be played in the instrument's place. */
  readonly recording?: readonly RecordedFrame[] | undefined;
}): Promise<Trial> => {
  const { entry, at, inputs, count, setPoint, observe, recording } = options;
  const began = performance.now();
  const now = () => (performance.now() - began) / 1000;
  const bench = openBench({
    instruments: [{ id, entry: entry.entry, at, role: entry.role }],
    channels: Object.fromEntries(
      inputs.map(({ unit, input }, index) => [`input-${index}`, { instrument: id, input, unit }]),
    ),
    entries: [entry],
    connect: recording === undefined ? connectWire : replayConnections(recording),
    connectRegisters: modbusBuses(),
    serialPorts: async () => (await listSerialPorts()).map(({ path }) => path),
    clock: { now },
    observe: (frame: Frame) => observe({ at: Math.round(now() * 1e4) / 1e4, ...frame }),
  });
  try {
    const prepared = await bench.prepare();
    if (!prepared.ok) return { identity: prepared, inputs: [], setPoint: null };
    const tried: TriedInput[] = [];
    for (let round = 0; round < count; round += 1) {
      const answers = await bench.read(inputs.map((_, index) => `input-${index}`));
      tried.push(...answers.map(({ outcome }, index) => ({ ...inputs[index]!, outcome })));
    }
    return {
      identity: { ok: true, value: prepared.value[0]!.identification },
      inputs: tried,
      setPoint: setPoint === null ? null : await bench.commandSetPoint(setPoint),
    };
  } finally {
    await bench.close();
  }
};

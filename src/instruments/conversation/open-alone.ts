import type { InstrumentEntry } from "../drivers/entry.ts";
import { connectWire } from "../transports/connect.ts";
import { modbusBuses } from "../transports/modbus-link.ts";
import { listSerialPorts } from "../transports/serial-ports.ts";
import type { BenchChannel, ChannelAnswer, InstrumentBench } from "./bench-port.ts";
import { replayConnections, type RecordedFrame } from "./dialogue-recording.ts";
import type { Frame } from "./line-connection.ts";
import { openBench } from "./open-bench.ts";

/** One input of an instrument, in a unit that its entry can read. */
export interface WantedInput {
  readonly unit: BenchChannel["unit"];
  readonly input: number;
}

/** An instrument by itself, without a job: where it is, by which entry, and what of it is wanted. */
export interface AloneOptions {
  readonly entry: InstrumentEntry;
  readonly at: string;
  readonly inputs: readonly WantedInput[];
  /** What sentences call it, where it has a name already. */
  readonly id?: string | undefined;
  readonly observe?: ((frame: RecordedFrame) => void) | undefined;
  /** A recording to be played in the instrument's place. */
  readonly recording?: readonly RecordedFrame[] | undefined;
}

export interface InstrumentAlone {
  readonly bench: InstrumentBench;
  /** Each wanted input once, in their order. */
  readInputs(): Promise<readonly ChannelAnswer[]>;
}

/** What a recording calls an instrument that has no name. */
const unnamed = "instrument";

/** Opens a bench of one instrument. Throws a Fault where the entry cannot read what is wanted; connects nothing yet. */
export const openAlone = (options: AloneOptions): InstrumentAlone => {
  const { entry, at, inputs, id = "", observe, recording } = options;
  const began = performance.now();
  const now = () => (performance.now() - began) / 1000;
  const recordedAs = id === "" ? unnamed : id;
  const played = recording === undefined ? null : replayConnections(recording);
  const channels = inputs.map((_, index) => `input-${index}`);
  const bench = openBench({
    instruments: [{ id, entry: entry.entry, at, role: entry.role }],
    channels: Object.fromEntries(
      inputs.map(({ unit, input }, index) => [channels[index]!, { instrument: id, input, unit }]),
    ),
    entries: [entry],
    connect: played === null ? connectWire : (to) => played({ ...to, id: recordedAs }),
    connectRegisters: modbusBuses(),
    serialPorts: async () => (await listSerialPorts()).map(({ path }) => path),
    clock: { now },
    observe: (frame: Frame) => observe?.({ at: Math.round(now() * 1e4) / 1e4, ...frame, instrument: recordedAs }),
  });
  return { bench, readInputs: () => bench.read(channels) };
};

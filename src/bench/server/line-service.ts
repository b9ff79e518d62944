import type { FaultBoard, FaultOf } from "../plant/live-faults.ts";
import { encode } from "./bytes.ts";
import type { ScpiInstrument } from "./scpi-instrument.ts";

/** Where a simulated instrument's bytes go: a socket, or a wire in memory. */
export interface ByteSink {
  write(bytes: Uint8Array): void;
  hangUp(): void;
}

export interface LineService {
  /** One client's connection: gives what takes the client's bytes. */
  connect(sink: ByteSink): (piece: Uint8Array) => void;
  /** The client is gone; for a service that talks unasked. */
  leave?(sink: ByteSink): void;
}

const longestMessage = 4096;

/** An answer that no reader can take for the right one. */
const spoil = (text: string): string => {
  const middle = Math.floor(text.length / 2);
  return `${text.slice(0, middle)}\x07?${text.slice(middle + 1)}`;
};

/**
 * Serves program messages of any number of clients, a line at a time and in order for each, and misbehaves as the faults
 * on request say. Without faults an answer goes out before the call that brought the question returns.
 */
export const lineService = (options: {
  readonly id: string;
  readonly instrument: Pick<ScpiInstrument, "execute">;
  readonly faults: FaultBoard;
  /** Brings the plant up to now and gives the time, s on the run's clock. */
  readonly catchUp: () => number;
}): LineService => {
  const { id, instrument, faults, catchUp } = options;
  const counts = { garbled: 0, slow: 0, "half-reply": 0 };

  const due = <K extends keyof typeof counts>(kind: K, time: number): FaultOf<K> | undefined => {
    const fault: FaultOf<K> | undefined = faults.active(kind, id, time);
    if (fault === undefined) return undefined;
    counts[kind] += 1;
    const { every }: { readonly every: number } = fault as FaultOf<keyof typeof counts>;
    return counts[kind] % every === 0 ? fault : undefined;
  };

  const deliver = async (sink: ByteSink, answer: string, time: number): Promise<void> => {
    const slow = due("slow", time);
    const chunked = faults.active("chunked", id, time);
    const junk = faults.active("junk", id, time);
    const spoilt = due("garbled", time) === undefined ? answer : spoil(answer);
    const half = due("half-reply", time) !== undefined;
    const line = half ? spoilt.slice(0, Math.ceil(spoilt.length / 2)) : `${spoilt}\n`;
    const bytes = encode(`${junk?.before ?? ""}${line}${junk?.after ?? ""}`);
    if (slow !== undefined) await new Promise((resolve) => setTimeout(resolve, slow.seconds * 1000));
    if (chunked === undefined) {
      sink.write(bytes);
      return;
    }
    for (let start = 0; start < bytes.length; start += chunked.bytes) {
      sink.write(bytes.subarray(start, start + chunked.bytes));
      await new Promise((resolve) => setImmediate(resolve));
    }
  };

  return {
    connect(sink) {
      let rest = "";
      let delivery: Promise<void> | null = null;

      const serve = (message: string) => {
        const time = catchUp();
        if (faults.empty()) {
          const answer = instrument.execute(message);
          if (answer === null) return;
          const bytes = encode(`${answer}\n`);
          if (delivery === null) sink.write(bytes);
          else delivery = delivery.then(() => sink.write(bytes));
          return;
        }
        if (faults.active("drop-out", id, time) !== undefined) return;
        if (faults.active("hang-up", id, time) !== undefined) {
          sink.hangUp();
          return;
        }
        const answer = instrument.execute(message);
        if (answer !== null) delivery = (delivery ?? Promise.resolve()).then(() => deliver(sink, answer, time));
      };

      return (piece) => {
        for (const byte of piece) rest += String.fromCharCode(byte);
        for (let end = rest.indexOf("\n"); end >= 0; end = rest.indexOf("\n")) {
          const message = rest.slice(0, end).replace(/\r$/, "");
          rest = rest.slice(end + 1);
          if (message.trim() !== "") serve(message);
        }
        if (rest.length > longestMessage) rest = "";
      };
    },
  };
};

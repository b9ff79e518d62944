import { lineTemplate, type TalkEntry } from "#instruments";
import type { ChannelUnit } from "#quantity";
import type { FaultBoard } from "../plant/live-faults.ts";
import { digitsInAnswerUnit } from "./answer-units.ts";
import type { ByteSink, LineService } from "./line-service.ts";
import { encode } from "./bytes.ts";
import type { ReadoutPort } from "./role-ports.ts";

/** How often it looks whether a line is due, ms of real time: a lock-step clock jumps without telling. */
const look = 5;

/**
 * A simulated instrument that talks unasked: a line for each wired input, at the entry's pace on the bench's clock, to all
 * who listen. It hears nothing.
 */
export const talkTwin = (options: {
  readonly id: string;
  readonly entry: TalkEntry;
  readonly port: ReadoutPort;
  readonly faults: FaultBoard;
  readonly now: () => number;
  readonly catchUp: () => number;
  readonly end: "\n" | "\r\n" | "\r";
}): LineService & { close(): void } => {
  const { id, entry, port, faults, now, catchUp, end } = options;
  const listeners = new Set<ByteSink>();
  let said = { at: Number.NEGATIVE_INFINITY, real: 0 };

  const lines = (): string[] =>
    Object.entries(entry.read).flatMap(([unit, heard]) => {
      const template = lineTemplate(heard.line)!;
      const inputs = Array.from(
        { length: heard.inputs.last - heard.inputs.first + 1 },
        (_, n) => heard.inputs.first + n,
      );
      return inputs
        .filter((input) => port.unitAt(input) === unit)
        .map((input) => {
          const reading = port.read(input);
          const value =
            reading.kind === "beyond"
              ? String(heard.openAt?.[0] ?? "9.9E37")
              : digitsInAnswerUnit(reading.value, unit as ChannelUnit, heard.answers, 3);
          return template.fill(value, input);
        });
    });

  const speak = () => {
    const at = now();
    const real = performance.now();
    const due = at - said.at >= entry.every || real - said.real >= entry.every * 1000;
    if (!due || listeners.size === 0) return;
    said = { at, real };
    const time = catchUp();
    if (faults.active("drop-out", id, time) !== undefined) return;
    const junk = faults.active("junk", id, time);
    for (const line of lines()) {
      const bytes = encode(`${junk?.before ?? ""}${line}${junk?.after ?? ""}${end}`);
      for (const listener of listeners) listener.write(bytes);
    }
  };
  const timer = setInterval(speak, look);
  timer.unref();

  return {
    connect(sink) {
      listeners.add(sink);
      said = { at: Number.NEGATIVE_INFINITY, real: 0 };
      return () => undefined;
    },
    leave: (sink) => listeners.delete(sink),
    close: () => clearInterval(timer),
  };
};

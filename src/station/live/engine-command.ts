import { readoutSchema, referenceSchema, sourceSchema, type Job } from "#calibration";
import type { RunCommand } from "#contract";
import type { RunCommand as EngineCommand } from "#engine";
import { Fault, unwrap } from "#fault";
import { loadDocument } from "#intake";

const due = <T>(value: T | undefined, words: string): T => {
  if (value !== undefined) return value;
  throw new Fault("input.invalid", words);
};

const dueReason = ({ command, reason }: RunCommand): string =>
  due(reason, `Give a reason for ${command}: it stands in the log and is asked for later.`);

/** What the text is called where it cannot be read; JSON is YAML, too. */
const name = "entry.yaml";

/** The kit entry that takes another's place, checked as in a job. */
const replacing = ({
  role = "reference",
  entry,
}: RunCommand): Pick<EngineCommand & { command: "replace-kit" }, "reference" | "readout" | "source"> => {
  const text = due(entry, "Give the kit entry that takes the other's place, as it would stand in a job.");
  switch (role) {
    case "reference":
      return { reference: unwrap(loadDocument(text, name, referenceSchema)) };
    case "readout":
      return { readout: unwrap(loadDocument(text, name, readoutSchema)) };
    case "source":
      return { source: unwrap(loadDocument(text, name, sourceSchema)) };
  }
};

/** What was said, and nothing for what was not. */
const defined = <T extends object>(values: T): { [K in keyof T]?: Exclude<T[K], undefined> } =>
  Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };

/**
 * A command as the engine takes it; who asks is the job's technician where nobody is named. What a command needs and does
 * not bring is thrown as `input.invalid`.
 */
export const engineCommand = (command: RunCommand, job: Pick<Job, "technician">): EngineCommand => {
  const by = command.by ?? job.technician;
  switch (command.command) {
    case "skip-point":
    case "skip-check":
      return { command: command.command, by, reason: dueReason(command) };
    case "repeat-point": {
      const { pass, point } = command;
      return { command: "repeat-point", by, reason: dueReason(command), ...defined({ pass, point }) };
    }
    case "add-point": {
      const temperature = due(command.temperature, "Give the temperature of the point in °C.");
      const { direction, where } = command;
      const reason = dueReason(command);
      return { command: "add-point", by, reason, temperature, ...defined({ direction, where }) };
    }
    case "swap-points": {
      const point = due(command.point, "Name the point.");
      const other = due(command.with, "Name the point that it changes places with.");
      const reason = dueReason(command);
      return { command: "swap-points", by, reason, point, with: other, ...defined({ pass: command.pass }) };
    }
    case "break":
      return {
        command: "break",
        by,
        hold: command.hold ?? false,
        ...defined({ seconds: command.seconds }),
      } as EngineCommand;
    case "replace-kit": {
      const earlier = due(command.earlier, "Say what becomes of the points measured before: keep or flag.");
      return { command: "replace-kit", by, reason: dueReason(command), earlier, ...replacing(command) };
    }
    case "record-check":
      return {
        command: "record-check",
        by,
        value: due(command.value, "Give what the check thermometer shows, in °C."),
      };
    case "enter-reading": {
      const channel = due(command.channel, "Name the channel that was read.");
      const typed = due(command.typed, "Give the digits as typed.");
      return { command: "enter-reading", by, channel, typed, ...defined({ ago: command.ago }) };
    }
    case "withdraw-reading": {
      const channel = due(command.channel, "Name the channel of the reading.");
      const reason = dueReason(command);
      return { command: "withdraw-reading", by, channel, reason, ...defined({ time: command.time }) };
    }
    case "confirm-set-point":
      return { command: "confirm-set-point", by, ...defined({ typed: command.typed }) };
    case "stop":
      return { command: "stop", by, ...(command.reason === undefined ? {} : { reason: command.reason }) };
    case "add-note":
      return { command: "add-note", by, text: due(command.text, "A note needs a text.") };
    default:
      return { command: command.command, by };
  }
};

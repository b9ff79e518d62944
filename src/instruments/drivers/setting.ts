import { failure, success, type Outcome } from "#fault";
import { parseNumericReply } from "../wire/numeric-reply.ts";
import type { ValueSetting } from "./question-entry.ts";

/** The command that sends a value; a value outside the entry's limits is refused and nothing may be sent. */
export const settingCommand = (setting: ValueSetting, value: number, what: string, unit: string): Outcome<string> => {
  if (!Number.isFinite(value) || value < setting.minimum || value > setting.maximum) {
    return failure(
      "run.limit",
      `The command for ${what} of ${value} ${unit} was not sent: the instrument's catalogue entry allows ${setting.minimum} to ${setting.maximum} ${unit}. Correct the procedure, or the entry if it is wrong.`,
      { value, minimum: setting.minimum, maximum: setting.maximum },
    );
  }
  return success(setting.tell.replaceAll("{value}", value.toFixed(setting.decimals)));
};

/** Does the answer to the read-back say that the value has arrived? `malformed` may be asked again. */
export const settingArrived = (setting: ValueSetting, value: number, line: string): "yes" | "no" | "malformed" => {
  const reply = parseNumericReply(line);
  if (reply.kind !== "number") return reply.kind === "malformed" ? "malformed" : "no";
  const rounding = 0.5 * 10 ** -setting.decimals;
  return Math.abs(reply.value - value) <= setting.readBack.within + rounding * 1.000_001 ? "yes" : "no";
};

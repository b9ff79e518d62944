import { success } from "#fault";
import { askProbe } from "./ask-probe.ts";
import { adjustItem, commandSetPoint, setRampRate, switchOutput } from "./instrument-commands.ts";
import { readSourceState } from "./read-source-state.ts";
import type { Instrument } from "./instrument.ts";
import { openConversation, type ConversationOptions } from "./instrument-conversation.ts";
import { inputReader } from "./read-input.ts";

/** An instrument that answers a line to a line. */
export const lineInstrument = (options: ConversationOptions): Instrument => {
  const conversation = openConversation(options);
  const { probe } = options.entry;
  return {
    addressee: conversation.addressee,
    async identify() {
      const identified = await conversation.identify();
      return identified.ok ? success(identified.value.text) : identified;
    },
    reader: (channel, input, unit) => inputReader(conversation, channel, input, unit),
    commandSetPoint: (temperature) => commandSetPoint(conversation, temperature),
    setRampRate: (rate) => setRampRate(conversation, rate),
    switchOutput: (on) => switchOutput(conversation, on),
    sourceState: () => readSourceState(conversation),
    ...(probe === undefined ? {} : { probe: (input: number) => askProbe(conversation, probe, input) }),
    adjust: (zero, span) => adjustItem(conversation, zero, span),
    close: () => conversation.close(),
  };
};

export { addressForms, parseAddress, type InstrumentAddress } from "./drivers/address.ts";
export { instrumentEntrySchema, type InstrumentEntry, type InstrumentEntryInput } from "./drivers/entry.ts";
export { type PluggedProbe } from "./drivers/probe-answer.ts";
export { findSenseless, type Senseless } from "./drivers/find-senseless.ts";
export { type QuestionEntry } from "./drivers/question-entry.ts";
export { type RegisterEntry } from "./drivers/register-entry.ts";
export { registersOf, valueOf, wordsOf } from "./drivers/register-value.ts";
export { type TalkEntry } from "./drivers/talk-entry.ts";
export { lineTemplate } from "./drivers/template.ts";
export { firstTransport } from "./drivers/transport.ts";
export { wordsSent } from "./drivers/words-sent.ts";
export {
  type BenchChannel,
  type BenchInstrument,
  type ChannelAnswer,
  type InstrumentBench,
  type InstrumentIdentity,
  type InstrumentRole,
} from "./conversation/bench-port.ts";
export { type ConnectInstrument } from "./conversation/instrument-conversation.ts";
export { type Frame, type FrameDirection } from "./conversation/line-connection.ts";
export { readFrame, replayConnections, writeFrame, type RecordedFrame } from "./conversation/dialogue-recording.ts";
export { findInstrument, type FoundInstrument } from "./conversation/find-instrument.ts";
export { openAlone, type WantedInput } from "./conversation/open-alone.ts";
export { openBench, type BenchOptions } from "./conversation/open-bench.ts";
export { type ConnectRegisters } from "./conversation/register-instrument.ts";
export { tryInstrument, wantedInputs, type Trial, type TriedInput } from "./conversation/try-instrument.ts";
export { watchInstrument } from "./conversation/watch-instrument.ts";
export { connectWire } from "./transports/connect.ts";
export { modbusBuses } from "./transports/modbus-link.ts";
export { samePlace } from "./transports/same-place.ts";
export { listSerialPorts, type SerialPortFound } from "./transports/serial-ports.ts";
export { connectTcp } from "./transports/tcp-wire.ts";
export { type Wire, type WireListener } from "./wire/wire.ts";

export {
  answerUnits,
  instrumentEntrySchema,
  type AnswerUnit,
  type InstrumentEntry,
  type InstrumentEntryInput,
} from "./drivers/entry.ts";
export { parseTcpAddress, type TcpAddress } from "./drivers/address.ts";
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
export { openBench, type BenchOptions } from "./conversation/open-bench.ts";
export { connectTcp } from "./transports/tcp-wire.ts";
export { type Wire, type WireListener } from "./wire/wire.ts";

export { forecastOf, type Forecast } from "./forecast.ts";
export { judgeBlocks, obstacles, type Judgement, type Obstacle } from "./judgement.ts";
export { observe } from "./observe.ts";
export { blockLength, confirmationGap, defaultSettling, type SettlingOptions } from "./options.ts";
export { type SlowTail } from "./slow-tail.ts";
export type { Block, PairedReading } from "./block.ts";
export { createSettling, type BoundMark, type SettlingState } from "./state.ts";

export { forecastOf, type Forecast } from "./forecast.ts";
export { judgeBlocks, obstacles, type Judgement, type Obstacle } from "./judgement.ts";
export { observe } from "./observe.ts";
export { blockLength, confirmationGap, defaultSettling, type SettlingOptions } from "./options.ts";
export { type SlowTail } from "./slow-tail.ts";
export { createSettling, type Block, type BoundMark, type PairedReading, type SettlingState } from "./state.ts";

export { lockStepClock } from "./clocks/lock-step-clock.ts";
export { scaledClock, type ClockSignal, type SimulatedClock } from "./clocks/scaled-clock.ts";
export {
  simulatedFaultSchema,
  simulationSchema,
  type SimulatedFault,
  type SimulatedFaultInput,
  type Simulation,
  type SimulationInput,
} from "./plant/simulation.ts";
export { createPlant, type ChannelReading, type Plant } from "./plant/plant.ts";
export { plantStep } from "./plant/motion.ts";
export { type PlantOptions } from "./plant/bench-plan.ts";
export { drawTruth, type HiddenTruth } from "./plant/hidden-truth.ts";
export { probeLags, sourceClasses, sourceModels, type SourceClass } from "./plant/source-classes.ts";
export { type UndisturbedDifference } from "./plant/undisturbed.ts";
export { type StatedItem, type StatedKit } from "./plant/stated-kit.ts";
export { openPtyPair, type PtyPair } from "./server/pty-pair.ts";
export {
  startSimulatedBench,
  type SimulatedBench,
  type SimulatedBenchOptions,
} from "./server/start-simulated-bench.ts";

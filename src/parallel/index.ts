export { createPool, type OrderedPool, type OrderedWork, type PoolOptions } from "./ordered-pool.ts";
export {
  createWorkforce,
  withWorkforce,
  type Workforce,
  type WorkforceOptions,
  type WorkOptions,
  type WorkProgress,
} from "./workforce.ts";
export { type Evaluated, type ReassessedLog } from "./tasks.ts";

export { allCells, cellsNamed, type Cell } from "./cells.ts";
export { defaultPhysics, physicsSchema, type Physics, type PhysicsInput } from "./physics.ts";
export { rehearsalTable } from "./markdown.ts";
export {
  rehearseCells,
  rehearseJob,
  type Rehearsal,
  type RehearsalOptions,
  type RehearsalProgress,
} from "./rehearse.ts";
export { type CellTable, type Figures } from "./table.ts";

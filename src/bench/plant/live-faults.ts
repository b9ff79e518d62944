import type { SimulatedFault } from "./simulation.ts";

export type FaultKind = SimulatedFault["kind"];
export type FaultOf<K extends FaultKind> = Extract<SimulatedFault, { kind: K }>;

export interface FaultBoard {
  add(fault: SimulatedFault): { clear(): void };
  /** The first fault of that kind that holds on that channel or instrument at that time. */
  active<K extends FaultKind>(kind: K, where: string, time: number): FaultOf<K> | undefined;
  /** True when nothing was ever asked for: the usual case, worth knowing in the hot path. */
  readonly empty: () => boolean;
}

/** All faults on request, by schedule or added while the bench runs. */
export const faultBoard = (scheduled: readonly SimulatedFault[]): FaultBoard => {
  const faults: SimulatedFault[] = [...scheduled];
  return {
    add(fault) {
      faults.push(fault);
      return {
        clear: () => {
          const index = faults.indexOf(fault);
          if (index >= 0) faults.splice(index, 1);
        },
      };
    },
    active: <K extends FaultKind>(kind: K, where: string, time: number) =>
      faults.find(
        (fault): fault is FaultOf<K> =>
          fault.kind === kind &&
          ("channel" in fault ? fault.channel : fault.instrument) === where &&
          time >= fault.at &&
          (fault.until === undefined || time < fault.until),
      ),
    empty: () => faults.length === 0,
  };
};

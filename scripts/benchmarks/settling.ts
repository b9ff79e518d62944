import { decideRecorded } from "#settling";
import { otherApproachOf, otherKinds } from "../../src/settling/other-physics.test-support.ts";
import type { Row } from "./row.ts";

/** Recorded approaches of 3,000 readings, judged reading by reading as in a run, to the end: none is asked to be ready. */
const approaches = otherKinds.map((kind) => otherApproachOf(kind, 5));

const seconds = (length: number): number => {
  const begun = performance.now();
  for (const { times, reference, item, setPoint, resolution } of approaches) {
    const cut = { time: times.slice(0, length), reference: reference.slice(0, length), item: item.slice(0, length) };
    // A target that nothing reaches keeps it judging.
    decideRecorded(cut, { target: 1e-6, setPoint, resolution });
  }
  return (performance.now() - begun) / 1000;
};

/** The cost of a reading, and that it does not grow with the wait. */
export const settling = (): readonly Row[] => {
  seconds(300);
  const [half, whole] = [seconds(1500), seconds(3000)];
  const readings = approaches.reduce((sum, { times }) => sum + Math.min(3000, times.length), 0);
  return [
    {
      name: "settling, a reading, 3,000 of them, one thread",
      ours: `${((whole / readings) * 1e6).toFixed(1)} µs`,
      peer: "the first half alone",
      ratio: whole / half,
      goal: "bounded: 90 minutes of past are kept, then 2",
    },
    {
      name: "500 approaches of 3,000 readings, one thread",
      ours: `${((whole / readings) * 1.5e6).toFixed(1)} s`,
      peer: "none",
      ratio: null,
      goal: "120 s on two cores",
    },
  ];
};

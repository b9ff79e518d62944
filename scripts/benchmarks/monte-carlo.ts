import { spawnSync } from "node:child_process";
import { availableParallelism } from "node:os";
import { join } from "node:path";
import { simulatePoint, type PointModelDescription } from "#calibration";
import { unwrap } from "#fault";
import { createWorkforce } from "#parallel";
import { signalOf } from "#thermometry";
import type { Simulated } from "#uncertainty";
import scale from "../../src/thermometry/data/its-90.json" with { type: "json" };
import thermocouples from "../../src/thermometry/data/thermocouples.json" with { type: "json" };
import type { Row } from "./row.ts";

const trials = 1_000_000;
const settings = { trials, seed: 101, level: 0.9545 };
const temperature = 400;
const junction = 23;

const itemSensor = { kind: "thermocouple", type: "K" } as const;
const deviation = [-1.2e-4, 2.1e-6, 1.3e-6] as const;
const referenceSensor = {
  kind: "platinum",
  equation: "its-90",
  rtpw: 25.4961,
  coefficients: [{ subrange: 7, a: deviation[0], b: deviation[1], c: deviation[2] }],
} as const;

type Input = PointModelDescription["inputs"][number];
const input = (id: string, u: number, entrance: Input["entrance"], sensitivity = 1): Input => ({
  id,
  u,
  entrance,
  sensitivity,
  distribution: "rectangular",
  degreesOfFreedom: null,
});

/** A type K thermocouple at 400 °C against a standard platinum thermometer, both on one readout; figures invented. */
const description: PointModelDescription = {
  itemSensor,
  referenceSensor,
  signal: unwrap(signalOf(itemSensor, temperature, { coldJunction: junction })).signal,
  referenceSignal: unwrap(signalOf(referenceSensor, temperature)).signal,
  junction,
  error: 0,
  inputs: [
    { ...input("reference.calibration", 0.015, "temperature", -1), distribution: "normal" },
    input("reference.drift", 0.012, "temperature", -1),
    input("reference.self-heating", 0.002, "temperature", -1),
    input("reference.readout", 0.0006, "reference-signal"),
    input("source.axial", 0.087, "temperature", -1),
    input("source.radial", 0.012, "temperature", -1),
    input("source.loading", 0.006, "temperature", -1),
    input("settling.remainder", 0.007, "temperature"),
    input("item.readout", 0.0017, "item-signal"),
    { ...input("item.repeatability", 0.008, "temperature"), distribution: "student", degreesOfFreedom: 19 },
    input("item.junction", 0.17, "junction"),
    input("item.inhomogeneity", 0.23, "temperature"),
  ],
  correlations: [],
};

interface PeerAnswer {
  readonly seconds: number;
  readonly u: number;
  readonly interval: readonly [number, number];
}

/** The same simulation in NumPy, or nothing when this machine has no NumPy. */
const peerAnswer = (): PeerAnswer | undefined => {
  const { pieces } = thermocouples.types.K;
  const problem = {
    trials,
    level: settings.level,
    typeK: {
      pieces: pieces.map((piece) => [Number(piece.lower), Number(piece.upper), piece.coefficients.map(Number)]),
      exponential: pieces.flatMap((piece) =>
        "exponential" in piece
          ? [[piece.exponential.amplitude, piece.exponential.rate, piece.exponential.centre].map(Number)]
          : [],
      )[0],
    },
    platinum: { c: scale.high.coefficients.map(Number), rtpw: referenceSensor.rtpw, deviation },
    starts: {
      "item-signal": description.signal,
      "reference-signal": description.referenceSignal,
      junction,
      temperature: 0,
    },
    inputs: description.inputs.map(({ degreesOfFreedom, ...rest }) => ({ ...rest, dof: degreesOfFreedom })),
  };
  for (const python of ["/usr/bin/python3", "python3"]) {
    const done = spawnSync(python, [join(import.meta.dirname, "numpy_monte_carlo.py")], {
      input: JSON.stringify(problem),
      encoding: "utf8",
    });
    if (done.status === 0) return JSON.parse(done.stdout) as PeerAnswer;
    // Only a machine without NumPy is a machine without the peer; whatever else goes wrong is ours to mend.
    if (done.error === undefined && !done.stderr.includes("No module named 'numpy'")) throw new Error(done.stderr);
  }
  return undefined;
};

const bestOf = async (
  work: () => Simulated | Promise<Simulated>,
): Promise<{ seconds: number; simulated: Simulated }> => {
  let seconds = Number.POSITIVE_INFINITY;
  let simulated: Simulated | undefined;
  for (let round = 0; round < 4; round += 1) {
    const begun = performance.now();
    simulated = await work();
    seconds = Math.min(seconds, (performance.now() - begun) / 1000);
  }
  return { seconds, simulated: simulated! };
};

/** The two sides must have simulated the same thing, and the threads the same digits as one. */
const compare = (one: Simulated, many: Simulated, peer: PeerAnswer | undefined): void => {
  if (JSON.stringify(one) !== JSON.stringify(many)) throw new Error("the threads gave other digits than one thread");
  if (peer === undefined) return;
  const off = Math.max(
    Math.abs(one.u / peer.u - 1),
    ...one.interval.map((end, side) => Math.abs(end - peer.interval[side]!)),
  );
  if (off > 0.005) throw new Error(`Monte Carlo and its peer differ by ${off}`);
};

/** Monte Carlo of 10⁶ trials, 12 inputs, through the exact inverses of a thermocouple and a platinum thermometer. */
export const monteCarlo = async (): Promise<readonly Row[]> => {
  const problem = { description, settings };
  const one = await bestOf(() => unwrap(simulatePoint(problem)));
  const force = createWorkforce();
  try {
    const many = await bestOf(async () => unwrap(await force.simulatePoint(problem)));
    const peer = peerAnswer();
    compare(one.simulated, many.simulated, peer);
    const row = (threads: number, seconds: number): Row => ({
      name: `Monte Carlo, a million trials, 12 inputs, real model, ${threads === 1 ? "one thread" : `${threads} threads`}`,
      ours: `${seconds.toFixed(2)} s`,
      peer: peer === undefined ? "NumPy is not on this machine: not compared" : `NumPy ${peer.seconds.toFixed(2)} s`,
      ratio: peer === undefined ? null : peer.seconds / seconds,
      goal: "at least 2 times; same seed, same digits",
    });
    return [row(1, one.seconds), ...(availableParallelism() > 1 ? [row(force.threads, many.seconds)] : [])];
  } finally {
    await force.close();
  }
};

import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { prepare, type Sensor } from "#thermometry";
import { unwrap } from "#fault";
import scale from "../../src/thermometry/data/its-90.json" with { type: "json" };
import thermocouples from "../../src/thermometry/data/thermocouples.json" with { type: "json" };
import type { Row } from "./row.ts";

const count = 1_000_000;

/** A reference whose deviation is nothing, so that both sides solve the bare reference function. */
const plainScale: Sensor = {
  kind: "platinum",
  equation: "its-90",
  rtpw: 1,
  coefficients: [{ subrange: 7, a: 0, b: 0, c: 0 }],
};

const ours = (sensor: Sensor, lower: number, upper: number): number => {
  const prepared = unwrap(prepare(sensor));
  const temperatures = Float64Array.from(
    { length: count },
    (_, index) => lower + ((upper - lower) * ((index * 7919) % count)) / count,
  );
  const signals = { values: new Float64Array(count), statuses: new Uint8Array(count) };
  const back = { values: new Float64Array(count), statuses: new Uint8Array(count) };
  if (prepared.signals(temperatures, signals) !== 0) throw new Error("a temperature inside the range was refused");
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 4; round += 1) {
    const begun = performance.now();
    if (prepared.temperatures(signals.values, back) !== 0) throw new Error("a signal inside the range was refused");
    best = Math.min(best, (performance.now() - begun) / 1000);
  }
  const worst = temperatures.reduce((most, value, index) => Math.max(most, Math.abs(back.values[index]! - value)), 0);
  if (worst > 1e-6) throw new Error(`there and back is off by ${worst} K`);
  return count / best;
};

/** The same solve in NumPy, or nothing when this machine has no NumPy. */
const peers = (): Readonly<Record<string, number>> | undefined => {
  const k = thermocouples.types.K;
  const constants = {
    pieces: k.pieces.map((piece) => [Number(piece.lower), Number(piece.upper), piece.coefficients.map(Number)]),
    exponential: k.pieces.flatMap((piece) =>
      "exponential" in piece
        ? [[piece.exponential.amplitude, piece.exponential.rate, piece.exponential.centre].map(Number)]
        : [],
    )[0],
    c: scale.high.coefficients.map(Number),
  };
  for (const python of ["/usr/bin/python3", "python3"]) {
    const script = join(import.meta.dirname, "numpy_inverse.py");
    const done = spawnSync(python, [script, "-", String(count)], {
      input: JSON.stringify(constants),
      encoding: "utf8",
    });
    if (done.status === 0) {
      return Object.fromEntries(
        done.stdout
          .trim()
          .split("\n")
          .map((line) => JSON.parse(line))
          .map(({ name, perSecond }) => [name, perSecond]),
      );
    }
  }
  return undefined;
};

/** Exact inverse of type K and of the ITS-90, one thread, against the same Newton solve in NumPy. */
export const inverse = (): readonly Row[] => {
  const peer = peers();
  const row = (name: string, perSecond: number): Row => ({
    name: `${name}, a million values, one thread`,
    ours: `${(perSecond / 1e6).toFixed(1)} million/s`,
    peer:
      peer === undefined
        ? "NumPy is not on this machine: not compared"
        : `NumPy ${(peer[name]! / 1e6).toFixed(1)} million/s`,
    ratio: peer === undefined ? null : perSecond / peer[name]!,
    goal: "at least 2 times",
  });
  return [
    row("type K inverse", ours({ kind: "thermocouple", type: "K" }, -200, 1371)),
    row("ITS-90 inverse", ours(plainScale, 1, 660)),
  ];
};

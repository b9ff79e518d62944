import { expect, it } from "vitest";
import { steadyState, twoMassStep, type TwoMass } from "./two-mass.ts";

const masses: TwoMass = {
  blockCapacity: 1100,
  insulationCapacity: 1000,
  between: 1.2,
  blockLoss: 0.3,
  insulationLoss: 0.5,
};

/** The same equations by the classical Runge-Kutta method with small steps: a second way to the same numbers. */
const integrate = (power: number, duration: number, parts: number) => {
  const rate = ([block, insulation, lost]: readonly number[]) => [
    (power - masses.between * (block! - insulation!) - masses.blockLoss * block!) / masses.blockCapacity,
    (masses.between * (block! - insulation!) - masses.insulationLoss * insulation!) / masses.insulationCapacity,
    masses.blockLoss * block! + masses.insulationLoss * insulation! + 0 * lost!,
  ];
  const h = duration / parts;
  let state = [0, 0, 0];
  const plus = (delta: readonly number[], factor: number) =>
    state.map((value, index) => value + factor * delta[index]!);
  for (let part = 0; part < parts; part += 1) {
    const k1 = rate(state);
    const k2 = rate(plus(k1, h / 2));
    const k3 = rate(plus(k2, h / 2));
    const k4 = rate(plus(k3, h));
    state = state.map((value, index) => value + (h / 6) * (k1[index]! + 2 * k2[index]! + 2 * k3[index]! + k4[index]!));
  }
  return { block: state[0]!, insulation: state[1]!, lost: state[2]! };
};

const stepped = (power: number, duration: number, step: number) => {
  const exact = twoMassStep(masses, step);
  let block = 0;
  let insulation = 0;
  for (let left = Math.round(duration / step); left > 0; left -= 1) {
    const next = exact.a11 * block + exact.a12 * insulation + exact.b1 * power;
    insulation = exact.a21 * block + exact.a22 * insulation + exact.b2 * power;
    block = next;
  }
  return { block, insulation };
};

it.each([0.25, 10, 600])("agrees with Runge-Kutta, in steps of %s s", (step) => {
  const reference = integrate(400, 600, 20_000);
  const { block, insulation } = stepped(400, 600, step);
  expect(block).toBeCloseTo(reference.block, 7);
  expect(insulation).toBeCloseTo(reference.insulation, 7);
});

it("keeps the energy: what was put in is stored or lost", () => {
  const { block, insulation } = stepped(400, 600, 0.25);
  const { lost } = integrate(400, 600, 20_000);
  const stored = masses.blockCapacity * block + masses.insulationCapacity * insulation;
  expect(stored + lost).toBeCloseTo(400 * 600, 3);
});

it("ends where the conductances say: losses in steady state carry the whole power", () => {
  const { block, insulation } = steadyState(masses, 246);
  expect(masses.blockLoss * block + masses.insulationLoss * insulation).toBeCloseTo(246, 10);
  expect(masses.between * (block - insulation)).toBeCloseTo(masses.insulationLoss * insulation, 10);
  expect(stepped(246, 200_000, 100).block).toBeCloseTo(block, 8);
});

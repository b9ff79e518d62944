/**
 * Two heat capacities in a row: the block (heated, losing some heat to the surroundings directly) and the insulation
 * around it, which warms slowly and loses the rest:
 *   C₁·dT₁/dt = P − G₁₂·(T₁ − T₂) − G₁·(T₁ − T₀),   C₂·dT₂/dt = G₁₂·(T₁ − T₂) − G₂·(T₂ − T₀).
 * Temperatures are kept as differences from the surroundings T₀. Capacities in J/K, conductances in W/K, power in W.
 */
export interface TwoMass {
  readonly blockCapacity: number;
  readonly insulationCapacity: number;
  readonly between: number;
  readonly blockLoss: number;
  readonly insulationLoss: number;
}

/** One exact step for constant power: x₁ = A·x₀ + B·P. Rows: block, insulation. */
export interface TwoMassStep {
  readonly a11: number;
  readonly a12: number;
  readonly a21: number;
  readonly a22: number;
  readonly b1: number;
  readonly b2: number;
}

/** Steady differences from the surroundings for a constant power, K. */
export const steadyState = (masses: TwoMass, power: number): { block: number; insulation: number } => {
  const inSeries = (masses.between * masses.insulationLoss) / (masses.between + masses.insulationLoss);
  const block = power / (masses.blockLoss + inSeries);
  return { block, insulation: (block * masses.between) / (masses.between + masses.insulationLoss) };
};

/**
 * The exact step of `step` seconds. The rate matrix has two real negative eigenvalues (it is similar to a symmetric one),
 * so its exponential is written with them: e^(Mh) = (e^(λ₁h)·(M − λ₂) − e^(λ₂h)·(M − λ₁)) / (λ₁ − λ₂).
 */
export const twoMassStep = (masses: TwoMass, step: number): TwoMassStep => {
  const { blockCapacity, insulationCapacity, between, blockLoss, insulationLoss } = masses;
  const m11 = -(between + blockLoss) / blockCapacity;
  const m12 = between / blockCapacity;
  const m21 = between / insulationCapacity;
  const m22 = -(between + insulationLoss) / insulationCapacity;
  const mean = (m11 + m22) / 2;
  const spread = Math.sqrt(((m11 - m22) / 2) ** 2 + m12 * m21);
  const fast = mean - spread;
  const slow = mean + spread;
  const slowGrowth = Math.exp(slow * step);
  const fastGrowth = Math.exp(fast * step);
  const element = (m: number, diagonal: boolean) =>
    (slowGrowth * (m - (diagonal ? fast : 0)) - fastGrowth * (m - (diagonal ? slow : 0))) / (slow - fast);
  const a11 = element(m11, true);
  const a12 = element(m12, false);
  const a21 = element(m21, false);
  const a22 = element(m22, true);
  const perWatt = steadyState(masses, 1);
  return {
    a11,
    a12,
    a21,
    a22,
    b1: perWatt.block - a11 * perWatt.block - a12 * perWatt.insulation,
    b2: perWatt.insulation - a21 * perWatt.block - a22 * perWatt.insulation,
  };
};

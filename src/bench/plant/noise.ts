import type { Generator } from "#numerics";

const mix = (value: number): number => {
  let x = value | 0;
  x = Math.imul(x ^ (x >>> 16), 0x21f0aaad);
  x = Math.imul(x ^ (x >>> 15), 0x735a2d97);
  return (x ^ (x >>> 15)) >>> 0;
};

/**
 * White noise as a function of the tick: the same tick gives the same standard normal number, whoever asks and how often.
 * (A 32-bit mixing function on seed and tick, then Box and Muller 1958.) `seed` is a whole number below 2³².
 */
export const whiteNoise = (seed: number, tick: number): number => {
  const first = mix(seed ^ mix(tick + 0x9e3779b9));
  const second = mix(first ^ 0x85ebca6b ^ tick);
  const radius = Math.sqrt(-2 * Math.log((first + 0.5) / 4_294_967_296));
  return radius * Math.cos((2 * Math.PI * second) / 4_294_967_296);
};

/** A stationary random process with unit variance, stepped at equal times. */
export interface StationaryNoise {
  step(): number;
  value(): number;
}

/** First-order Markov noise: autocorrelation e^(−|Δ|/τ). Begins in its stationary distribution. Times in s. */
export const markovNoise = (generator: Generator, correlationTime: number, step: number): StationaryNoise => {
  const keep = Math.exp(-step / correlationTime);
  const add = Math.sqrt(-Math.expm1((-2 * step) / correlationTime));
  let value = generator.normal();
  return {
    step: () => {
      value = keep * value + add * generator.normal();
      return value;
    },
    value: () => value,
  };
};

/** Correlation times of the sum that stands for 1/f noise, s; a decade apart, equal shares of variance. */
const decades = [3, 30, 300];

/** Noise whose power falls about as 1/f between 1 mHz and 0.1 Hz: a sum of Markov noises a decade apart. */
export const flickerNoise = (generator: Generator, step: number): StationaryNoise => {
  const parts = decades.map((time) => markovNoise(generator.fork(time), time, step));
  const scale = 1 / Math.sqrt(parts.length);
  let value = scale * parts.reduce((sum, part) => sum + part.value(), 0);
  return {
    step: () => {
      let sum = 0;
      for (const part of parts) sum += part.step();
      value = scale * sum;
      return value;
    },
    value: () => value,
  };
};

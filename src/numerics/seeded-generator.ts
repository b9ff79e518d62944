/**
 * Seeded random numbers: xoshiro128++ (D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators", ACM
 * TOMS 47 (2021) 36), its state filled by splitmix64 (G. Steele, D. Lea, C. Flood, OOPSLA 2014). Written from the
 * published descriptions. Only 32-bit integer arithmetic and IEEE doubles: same seed, same digits, on any machine.
 */
export interface Generator {
  /** Uniform in [0, 1), 53 bits. */
  next(): number;
  /** Fills an array with what `next` would give, one after the other; several times faster for many. */
  fillUniform(into: Float64Array): void;
  /** Standard normal. */
  normal(): number;
  /**
   * An independent stream. It depends on this generator's seed and the label alone, never on how much was drawn, so
   * that adding a draw in one place does not move the numbers of another.
   */
  fork(label: string | number): Generator;
  /** Everything that is needed to carry on elsewhere: give it to `restoredGenerator`. */
  state(): GeneratorState;
}

export interface GeneratorState {
  readonly algorithm: "xoshiro128++";
  /** The stream's identity, a 64-bit number in hexadecimal: what forks are derived from. */
  readonly key: string;
  readonly words: readonly [number, number, number, number];
}

const mask = (1n << 64n) - 1n;
const golden = 0x9e3779b97f4a7c15n;

/** The output function of splitmix64. */
const mixed = (value: bigint): bigint => {
  let z = value & mask;
  z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & mask;
  z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & mask;
  return z ^ (z >> 31n);
};

/** First outputs of splitmix64 from a state. */
export const splitmix64 = (seed: bigint, count: number): bigint[] =>
  Array.from({ length: count }, (_, index) => mixed(seed + golden * BigInt(index + 1)));

const wordsOf = (key: bigint): [number, number, number, number] => {
  const [first, second] = splitmix64(key, 2) as [bigint, bigint];
  // The all-zero state, which the generator would never leave, cannot come: the mixing is one to one, so of two
  // successive outputs one at most is zero.
  return [first, first >> 32n, second, second >> 32n].map((part) => Number(part & 0xffffffffn)) as [
    number,
    number,
    number,
    number,
  ];
};

/** Any double as a 64-bit key: its bit pattern, mixed, so that 0, 1, 0.5 and -1 are all different seeds. */
const keyOfNumber = (value: number): bigint => {
  const view = new DataView(new ArrayBuffer(8));
  view.setFloat64(0, value === 0 ? 0 : value);
  return mixed(view.getBigUint64(0) ^ golden);
};

/** FNV-1a over the UTF-16 units of a label, then mixed. */
const keyOfText = (text: string): bigint => {
  let hash = 0xcbf29ce484222325n;
  for (let index = 0; index < text.length; index += 1) {
    hash = ((hash ^ BigInt(text.charCodeAt(index))) * 0x100000001b3n) & mask;
  }
  return mixed(hash);
};

/** Layers of equal area under the normal density (G. Marsaglia and W. W. Tsang, J. Stat. Software 5 (2000) 8). */
const layers = 256;
const firstEdge = 3.6541528853610088;
const layerArea = 0.00492867323399;
const edges = new Float64Array(layers + 1);
const heights = new Float64Array(layers + 1);
const fillLayers = (): void => {
  let height = Math.exp(-0.5 * firstEdge * firstEdge);
  edges[0] = layerArea / height;
  edges[1] = firstEdge;
  for (let index = 2; index < layers; index += 1) {
    edges[index] = Math.sqrt(-2 * Math.log(layerArea / edges[index - 1]! + height));
    height = Math.exp(-0.5 * edges[index]! * edges[index]!);
  }
  edges[layers] = 0;
  for (let index = 0; index <= layers; index += 1) heights[index] = Math.exp(-0.5 * edges[index]! * edges[index]!);
};
fillLayers();

const twoTo26 = 67_108_864;
const twoTo53 = 9_007_199_254_740_992;

class Xoshiro implements Generator {
  readonly #key: bigint;
  #a: number;
  #b: number;
  #c: number;
  #d: number;

  constructor(key: bigint, words: readonly [number, number, number, number]) {
    this.#key = key;
    this.#a = words[0] | 0;
    this.#b = words[1] | 0;
    this.#c = words[2] | 0;
    this.#d = words[3] | 0;
  }

  /** One 32-bit draw as a signed integer. */
  #draw(): number {
    const sum = (this.#a + this.#d) | 0;
    const result = (((sum << 7) | (sum >>> 25)) + this.#a) | 0;
    const shifted = this.#b << 9;
    this.#c ^= this.#a;
    this.#d ^= this.#b;
    this.#b ^= this.#c;
    this.#a ^= this.#d;
    this.#c ^= shifted;
    this.#d = (this.#d << 11) | (this.#d >>> 21);
    return result;
  }

  next(): number {
    const high = this.#draw() >>> 5;
    const low = this.#draw() >>> 6;
    return (high * twoTo26 + low) / twoTo53;
  }

  fillUniform(into: Float64Array): void {
    // The state in local variables, the two draws of each number written out: the same arithmetic as in #draw.
    let [a, b, c, d] = [this.#a, this.#b, this.#c, this.#d];
    for (let index = 0; index < into.length; index += 1) {
      let sum = (a + d) | 0;
      const high = ((((sum << 7) | (sum >>> 25)) + a) | 0) >>> 5;
      let shifted = b << 9;
      c ^= a;
      d ^= b;
      b ^= c;
      a ^= d;
      c ^= shifted;
      d = (d << 11) | (d >>> 21);
      sum = (a + d) | 0;
      const low = ((((sum << 7) | (sum >>> 25)) + a) | 0) >>> 6;
      shifted = b << 9;
      c ^= a;
      d ^= b;
      b ^= c;
      a ^= d;
      c ^= shifted;
      d = (d << 11) | (d >>> 21);
      into[index] = (high * twoTo26 + low) / twoTo53;
    }
    [this.#a, this.#b, this.#c, this.#d] = [a, b, c, d];
  }

  normal(): number {
    for (;;) {
      // Layer and sign come from bits that the position in the layer does not use (J. A. Doornik, 2005).
      const bits = this.#draw();
      const layer = bits & 255;
      const sign = (bits & 256) === 0 ? 1 : -1;
      const x = this.next() * edges[layer]!;
      if (x < edges[layer + 1]!) return sign * x;
      if (layer === 0) return sign * this.#beyond();
      const height = heights[layer]! + this.next() * (heights[layer + 1]! - heights[layer]!);
      if (height < Math.exp(-0.5 * x * x)) return sign * x;
    }
  }

  /** A draw from the tail beyond the first edge (Marsaglia 1964). */
  #beyond(): number {
    for (;;) {
      const x = -Math.log(1 - this.next()) / firstEdge;
      const y = -Math.log(1 - this.next());
      if (2 * y >= x * x) return firstEdge + x;
    }
  }

  fork(label: string | number): Generator {
    const labelKey = typeof label === "number" ? keyOfNumber(label) : keyOfText(label);
    const key = mixed((mixed(this.#key + golden) ^ labelKey) + (typeof label === "number" ? 1n : 2n) * golden);
    return new Xoshiro(key, wordsOf(key));
  }

  state(): GeneratorState {
    return {
      algorithm: "xoshiro128++",
      key: this.#key.toString(16).padStart(16, "0"),
      words: [this.#a >>> 0, this.#b >>> 0, this.#c >>> 0, this.#d >>> 0],
    };
  }
}

/** A generator from a seed: any number but NaN, whole or not. A not-a-number seed is a mistake of the caller and throws. */
export const seededGenerator = (seed: number): Generator => {
  if (Number.isNaN(seed)) throw new RangeError("a seed must be a number");
  const key = keyOfNumber(seed);
  return new Xoshiro(key, wordsOf(key));
};

/** The generator that `state()` described, at the very draw where it was. */
export const restoredGenerator = (state: GeneratorState): Generator => {
  if (!/^[0-9a-f]{16}$/.test(state.key) || state.words.every((word) => word === 0)) {
    throw new RangeError("this is not the state of a generator");
  }
  return new Xoshiro(BigInt(`0x${state.key}`), state.words);
};

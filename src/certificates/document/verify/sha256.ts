/** Round constants: the first 32 bits of the fractional parts of the cube roots of the first 64 primes (FIPS 180-4, 4.2.2). */
const primes = ((): readonly number[] => {
  const found: number[] = [];
  for (let candidate = 2; found.length < 64; candidate += 1)
    if (found.every((prime) => candidate % prime !== 0)) found.push(candidate);
  return found;
})();

const fraction = (value: number): number => Math.floor((value - Math.floor(value)) * 2 ** 32) | 0;
const rounds = Int32Array.from(primes, (prime) => fraction(Math.cbrt(prime)));
const initial = Int32Array.from(primes.slice(0, 8), (prime) => fraction(Math.sqrt(prime)));

const turn = (value: number, by: number): number => (value >>> by) | (value << (32 - by));

const block = (state: Int32Array, bytes: Uint8Array, at: number, words: Int32Array): void => {
  for (let i = 0; i < 16; i += 1) {
    const place = at + 4 * i;
    words[i] = (bytes[place]! << 24) | (bytes[place + 1]! << 16) | (bytes[place + 2]! << 8) | bytes[place + 3]!;
  }
  for (let i = 16; i < 64; i += 1) {
    const [early, late] = [words[i - 15]!, words[i - 2]!];
    const s0 = turn(early, 7) ^ turn(early, 18) ^ (early >>> 3);
    const s1 = turn(late, 17) ^ turn(late, 19) ^ (late >>> 10);
    words[i] = (words[i - 16]! + s0 + words[i - 7]! + s1) | 0;
  }
  let [a, b, c, d, e, f, g, h] = state as unknown as [number, number, number, number, number, number, number, number];
  for (let i = 0; i < 64; i += 1) {
    const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
    const one = (h + s1 + ((e & f) ^ (~e & g)) + rounds[i]! + words[i]!) | 0;
    const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
    const two = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
  }
  for (const [index, value] of [a, b, c, d, e, f, g, h].entries()) state[index] = (state[index]! + value) | 0;
};

/** SHA-256 of bytes in lower-case hexadecimal (FIPS 180-4); here because a pure room has no platform to ask for it. */
export const sha256Hex = (bytes: Uint8Array): string => {
  const state = Int32Array.from(initial);
  const words = new Int32Array(64);
  const whole = bytes.length - (bytes.length % 64);
  for (let at = 0; at < whole; at += 64) block(state, bytes, at, words);
  const rest = bytes.length - whole;
  const tail = new Uint8Array(rest < 56 ? 64 : 128);
  tail.set(bytes.subarray(whole));
  tail[rest] = 0x80;
  let bits = bytes.length * 8;
  for (let place = tail.length - 1; bits > 0; place -= 1) {
    tail[place] = bits % 256;
    bits = Math.floor(bits / 256);
  }
  for (let at = 0; at < tail.length; at += 64) block(state, tail, at, words);
  return Array.from(state, (value) => (value >>> 0).toString(16).padStart(8, "0")).join("");
};

/** UTF-8 of a text (RFC 3629); a lone surrogate becomes U+FFFD, as every encoder makes it. */
export const utf8 = (text: string): Uint8Array => {
  const bytes: number[] = [];
  for (const character of text) {
    const point = character.codePointAt(0)!;
    const code = point >= 0xd800 && point <= 0xdfff ? 0xfffd : point;
    if (code < 0x80) bytes.push(code);
    else if (code < 0x800) bytes.push(0xc0 | (code >> 6), 0x80 | (code & 63));
    else if (code < 0x10000) bytes.push(0xe0 | (code >> 12), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
    else bytes.push(0xf0 | (code >> 18), 0x80 | ((code >> 12) & 63), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
  }
  return Uint8Array.from(bytes);
};

/**
 * Reads a bit stream, the lowest bit of the first byte first (IEEE 1451.4). A number's lowest bit comes first too.
 * Reading past the end gives null, and whatever is read after that too.
 */
export class BitReader {
  readonly #bytes: Uint8Array;
  #position = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
  }

  get position(): number {
    return this.#position;
  }

  get left(): number {
    return Math.max(this.#bytes.length * 8 - this.#position, 0);
  }

  /** An unsigned whole number of 0 to 32 bits; null where the stream ends before. */
  unsigned(bits: number): number | null {
    if (bits > this.left) {
      this.#position = this.#bytes.length * 8;
      return null;
    }
    let value = 0;
    for (let bit = 0; bit < bits; bit += 1) {
      const at = this.#position + bit;
      // Multiplied, not shifted: 32 bits must stay unsigned.
      if (((this.#bytes[at >> 3]! >> (at & 7)) & 1) === 1) value += 2 ** bit;
    }
    this.#position += bits;
    return value;
  }
}

/** Writes what `BitReader` reads. */
export class BitWriter {
  readonly #bits: boolean[] = [];

  get length(): number {
    return this.#bits.length;
  }

  /** The lowest `bits` bits of a whole number from 0 to 2^32 - 1. */
  unsigned(value: number, bits: number): void {
    for (let bit = 0; bit < bits; bit += 1) this.#bits.push(Math.floor(value / 2 ** bit) % 2 === 1);
  }

  /** The stream, filled with zeros to a whole number of bytes. */
  bytes(): Uint8Array {
    const bytes = new Uint8Array(Math.ceil(this.#bits.length / 8));
    for (const [at, bit] of this.#bits.entries()) if (bit) bytes[at >> 3]! |= 1 << (at & 7);
    return bytes;
  }
}

/**
 * Columns of numbers in few bytes, and back to the same bits. A reading is mostly the one before it plus a few digits of its
 * display, so the digits' differences are written, each in as few bytes as it needs.
 */

/** Bytes that grow. */
export class ByteWriter {
  #bytes = Buffer.allocUnsafe(1 << 12);
  #length = 0;

  byte(value: number): void {
    this.#room(1);
    this.#bytes[this.#length] = value;
    this.#length += 1;
  }

  /** A whole number from 0 to 2^53, seven bits a byte, the lowest first. */
  count(value: number): void {
    let rest = value;
    while (rest >= 0x80) {
      this.byte((rest % 0x80) | 0x80);
      rest = Math.floor(rest / 0x80);
    }
    this.byte(rest);
  }

  /** A whole number of either sign within 2^52: the sign is the lowest bit. */
  signed(value: number): void {
    this.count(value < 0 ? -value * 2 - 1 : value * 2);
  }

  double(value: number): void {
    this.#room(8);
    this.#bytes.writeDoubleLE(value, this.#length);
    this.#length += 8;
  }

  bytes(value: Uint8Array): void {
    this.#room(value.length);
    this.#bytes.set(value, this.#length);
    this.#length += value.length;
  }

  /** What was written, its length before it. */
  part(value: ByteWriter): void {
    const bytes = value.written();
    this.count(bytes.length);
    this.bytes(bytes);
  }

  text(value: string): void {
    const bytes = Buffer.from(value, "utf8");
    this.count(bytes.length);
    this.bytes(bytes);
  }

  written(): Buffer {
    return this.#bytes.subarray(0, this.#length);
  }

  #room(more: number): void {
    if (this.#length + more <= this.#bytes.length) return;
    const larger = Buffer.allocUnsafe(Math.max(this.#bytes.length * 2, this.#length + more));
    this.#bytes.copy(larger, 0, 0, this.#length);
    this.#bytes = larger;
  }
}

/** Reads what a `ByteWriter` wrote; anything else ends in a `RangeError`. */
export class ByteReader {
  readonly #bytes: Buffer;
  #at = 0;

  constructor(bytes: Buffer) {
    this.#bytes = bytes;
  }

  get done(): boolean {
    return this.#at === this.#bytes.length;
  }

  byte(): number {
    if (this.#at >= this.#bytes.length) throw new RangeError("The block ends early.");
    const value = this.#bytes[this.#at]!;
    this.#at += 1;
    return value;
  }

  count(): number {
    let value = 0;
    for (let weight = 1; weight <= 2 ** 49; weight *= 0x80) {
      const byte = this.byte();
      value += (byte & 0x7f) * weight;
      if (byte < 0x80) return value;
    }
    throw new RangeError("A number in the block is too long.");
  }

  signed(): number {
    const value = this.count();
    return value % 2 === 1 ? -(value + 1) / 2 : value / 2;
  }

  double(): number {
    const value = this.#bytes.readDoubleLE(this.#at);
    this.#at += 8;
    return value;
  }

  bytes(length: number): Buffer {
    if (this.#at + length > this.#bytes.length) throw new RangeError("The block ends early.");
    const part = this.#bytes.subarray(this.#at, this.#at + length);
    this.#at += length;
    return part;
  }

  part(): ByteReader {
    return new ByteReader(this.bytes(this.count()));
  }

  text(): string {
    return this.bytes(this.count()).toString("utf8");
  }
}

/** Largest count of digits for which a number's decimal digits are counted as a whole number. */
const largest = 2 ** 48;
const mostDecimals = 12;

const decimals = (value: number): number => {
  const text = String(value);
  if (text.includes("e")) return mostDecimals;
  const point = text.indexOf(".");
  return point < 0 ? 0 : text.length - point - 1;
};

/** The decimals that nine in ten of the values do with: the rest are the noise of binary arithmetic. */
export const usualDecimals = (values: readonly number[]): number => {
  const places = values.map(decimals).toSorted((a, b) => a - b);
  return Math.min(mostDecimals, places[Math.floor((places.length - 1) * 0.9)] ?? 0);
};

const scratch = new DataView(new ArrayBuffer(8));

const bitsOf = (value: number): bigint => {
  scratch.setFloat64(0, value);
  return scratch.getBigInt64(0);
};

const fromBits = (bits: bigint): number => {
  scratch.setBigInt64(0, bits);
  return scratch.getFloat64(0);
};

const finite = (value: number): number => {
  if (Number.isFinite(value)) return value;
  throw new RangeError("A number in the block is none.");
};

/** A decimal number of so many digits behind its point. Division by a power of ten up to 10^22 is correctly rounded. */
const decimal = (digits: number, places: number): number => digits / 10 ** places;

/** Farthest that a double may lie from its decimal, in steps of its last bit, to be written as a step from it. */
const nearest = 1000n;

/**
 * A column of doubles. Each is the decimal of a whole number of digits that differs from the one before by little, plus a few
 * steps of the last bit where it is no decimal; what is neither is written as it is.
 */
export class NumberColumn {
  readonly #places: number;
  readonly #order: 1 | 2;
  #last = 0;
  #step = 0;

  /** `order` 2: the difference itself changes little, as that of times does. */
  constructor(places: number, order: 1 | 2) {
    this.#places = places;
    this.#order = order;
  }

  /** Digits go to one writer, what is beside them to another, so that each is a run of like bytes. */
  write(value: number, digits: ByteWriter, beside: ByteWriter): void {
    // Never minus zero: a whole number has no sign of its own there.
    const whole = Math.round(value * 10 ** this.#places) + 0;
    const near = Math.abs(whole) < largest ? bitsOf(value) - bitsOf(decimal(whole, this.#places)) : nearest;
    if (near >= nearest || near <= -nearest) {
      beside.byte(1);
      beside.double(value);
      return;
    }
    if (near === 0n) beside.byte(0);
    else {
      beside.byte(2);
      beside.signed(Number(near));
    }
    digits.signed(this.#difference(whole));
    this.#follow(whole);
  }

  read(digits: ByteReader, beside: ByteReader): number {
    const how = beside.byte();
    if (how === 1) return finite(beside.double());
    const near = how === 2 ? BigInt(beside.signed()) : 0n;
    const whole = digits.signed() + this.#expected();
    this.#follow(whole);
    const value = decimal(whole, this.#places);
    return finite(near === 0n ? value : fromBits(bitsOf(value) + near));
  }

  #expected(): number {
    return this.#order === 1 ? this.#last : this.#last + this.#step;
  }

  #difference(whole: number): number {
    return whole - this.#expected();
  }

  #follow(whole: number): void {
    this.#step = whole - this.#last;
    this.#last = whole;
  }
}

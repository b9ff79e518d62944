import { canonicalJson } from "../chain/canonical-json.ts";
import { ByteReader, ByteWriter, NumberColumn, usualDecimals } from "./columns.ts";
import { inForm, wireForm, type WireForm } from "./digits.ts";

/** A block of readings, taken apart: what is like in many of them, and what is not. */
export interface ReadingsLine {
  /** Canonical JSON of every field that is not below. */
  readonly like: string;
  readonly n: number;
  readonly at: number;
  readonly times: readonly number[];
  readonly values: readonly number[];
  readonly wire: readonly string[] | null;
}

const isNumbers = (value: unknown): value is number[] =>
  Array.isArray(value) && value.every((each) => Number.isFinite(each));

const isTexts = (value: unknown): value is string[] =>
  Array.isArray(value) && value.every((each) => typeof each === "string");

const opening = /^\{"at":/;

/** A line taken apart; null where it is no block of readings whose parts give the very same line again. */
export const readingsLine = (line: string): ReadingsLine | null => {
  if (!opening.test(line) || !line.includes('"kind":"readings-taken"')) return null;
  try {
    return takenApart(line);
  } catch {
    return null;
  }
};

const takenApart = (line: string): ReadingsLine | null => {
  const { n, at, times, values, wire, ...rest } = JSON.parse(line) as Record<string, unknown>;
  if (typeof n !== "number" || !Number.isSafeInteger(n) || n < 0 || !Number.isFinite(at)) return null;
  if (!isNumbers(times) || !isNumbers(values) || times.length !== values.length) return null;
  if (wire !== undefined && (!isTexts(wire) || wire.length !== values.length)) return null;
  const parts = { like: canonicalJson(rest), n, at: at as number, times, values, wire: wire ?? null };
  return lineOf(parts) === line ? parts : null;
};

const lineOf = ({ like, wire, ...numbers }: ReadingsLine): string =>
  canonicalJson({ ...(JSON.parse(like) as object), ...numbers, ...(wire === null ? {} : { wire }) });

/** Like blocks of readings, one behind the other: of one channel, in one unit. */
class Shape {
  readonly like: string;
  readonly lines: ReadingsLine[] = [];

  constructor(like: string) {
    this.like = like;
  }

  write(to: ByteWriter): void {
    const times = this.lines.flatMap((line) => line.times);
    const values = this.lines.flatMap((line) => line.values);
    const first = this.lines.find(({ wire }) => wire !== null)?.wire?.[0];
    const form = first === undefined ? null : wireForm(first);
    const places = {
      times: usualDecimals([...times, ...this.lines.map(({ at }) => at)]),
      values: usualDecimals(values),
    };
    to.text(this.like);
    to.text(JSON.stringify({ lines: this.lines.length, form, places }));
    const columns = new Columns(places);
    for (const line of this.lines) columns.write(line, form);
    columns.writeTo(to);
  }
}

interface Places {
  readonly times: number;
  readonly values: number;
}

/** The runs of like bytes of a shape. */
class Columns {
  readonly #heads = new ByteWriter();
  readonly #times = new ByteWriter();
  readonly #values = new ByteWriter();
  readonly #beside = new ByteWriter();
  readonly #wires = new ByteWriter();
  readonly #time: NumberColumn;
  readonly #value: NumberColumn;
  readonly #at: NumberColumn;
  #last = 0;

  constructor(places: Places) {
    this.#time = new NumberColumn(places.times, 2);
    this.#value = new NumberColumn(places.values, 1);
    this.#at = new NumberColumn(places.times, 2);
  }

  write({ n, at, times, values, wire }: ReadingsLine, form: WireForm | null): void {
    this.#heads.signed(n - this.#last);
    this.#last = n;
    this.#heads.count(times.length * 2 + (wire === null ? 0 : 1));
    const atLast = times.length > 0 && at === times.at(-1);
    this.#heads.byte(atLast ? 1 : 0);
    if (!atLast) this.#at.write(at, this.#heads, this.#beside);
    for (const time of times) this.#time.write(time, this.#times, this.#beside);
    for (const value of values) this.#value.write(value, this.#values, this.#beside);
    for (const [index, digits] of (wire ?? []).entries()) {
      const follows = form !== null && inForm(values[index]!, form) === digits;
      this.#beside.byte(follows ? 1 : 0);
      if (!follows) this.#wires.text(digits);
    }
  }

  writeTo(to: ByteWriter): void {
    for (const column of [this.#heads, this.#times, this.#values, this.#beside, this.#wires]) to.part(column);
  }
}

/** Gathers blocks of readings by what they have alike. */
export class ReadingsWriter {
  readonly #shapes: Shape[] = [];
  readonly #byLike = new Map<string, number>();

  /** Takes a block of readings; answers the number of its shape. */
  take(line: ReadingsLine): number {
    let index = this.#byLike.get(line.like);
    if (index === undefined) {
      index = this.#shapes.push(new Shape(line.like)) - 1;
      this.#byLike.set(line.like, index);
    }
    this.#shapes[index]!.lines.push(line);
    return index;
  }

  write(to: ByteWriter): void {
    to.count(this.#shapes.length);
    for (const shape of this.#shapes) shape.write(to);
  }
}

/** Gives the lines of one shape back, one after the other. */
class ShapeReader {
  readonly #like: string;
  readonly #form: WireForm | null;
  readonly #heads: ByteReader;
  readonly #times: ByteReader;
  readonly #values: ByteReader;
  readonly #beside: ByteReader;
  readonly #wires: ByteReader;
  readonly #time: NumberColumn;
  readonly #value: NumberColumn;
  readonly #at: NumberColumn;
  #last = 0;

  constructor(from: ByteReader) {
    this.#like = from.text();
    const { form, places } = JSON.parse(from.text()) as { form: WireForm | null; places: Places };
    this.#form = form;
    this.#heads = from.part();
    this.#times = from.part();
    this.#values = from.part();
    this.#beside = from.part();
    this.#wires = from.part();
    this.#time = new NumberColumn(places.times, 2);
    this.#value = new NumberColumn(places.values, 1);
    this.#at = new NumberColumn(places.times, 2);
  }

  line(): string {
    const n = this.#last + this.#heads.signed();
    this.#last = n;
    const head = this.#heads.count();
    const length = Math.floor(head / 2);
    const atLast = this.#heads.byte() === 1;
    const own = atLast ? 0 : this.#at.read(this.#heads, this.#beside);
    const times = Array.from({ length }, () => this.#time.read(this.#times, this.#beside));
    const values = Array.from({ length }, () => this.#value.read(this.#values, this.#beside));
    const wire =
      head % 2 === 0
        ? null
        : values.map((value) => (this.#beside.byte() === 1 ? inForm(value, this.#form!) : this.#wires.text()));
    return lineOf({ like: this.#like, n, at: atLast ? times.at(-1)! : own, times, values, wire });
  }
}

/** Gives blocks of readings back, by the number of their shape. */
export class ReadingsReader {
  readonly #shapes: readonly ShapeReader[];

  constructor(from: ByteReader) {
    this.#shapes = Array.from({ length: from.count() }, () => new ShapeReader(from));
  }

  line(shape: number): string {
    const reader = this.#shapes[shape];
    if (reader === undefined) throw new RangeError("The block lacks a shape.");
    return reader.line();
  }
}

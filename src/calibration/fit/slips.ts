import { extendedTo, leadingPower, numberOf, type PrintedNumber } from "./printed-number.ts";

/** How a coefficient can have been copied wrongly: one slip of hand or eye. */
export type SlipKind = "digit" | "swapped-digits" | "sign" | "decimal-shift" | "exchanged";

export interface Slip {
  readonly kind: SlipKind;
  readonly coefficient: string;
  /** The other coefficient, where two were exchanged. */
  readonly other?: string;
  /** The wrong digit's place, counted from 1 at the first significant digit as printed; 0 for one lost before it. */
  readonly position?: number;
  /** Power of ten of that place. */
  readonly power?: number;
  readonly is: string;
  readonly shouldBe: string;
  /** Values that make it good, by coefficient. */
  readonly corrected: ReadonlyMap<string, number>;
}

export interface PrintedCoefficient {
  readonly name: string;
  readonly printed: PrintedNumber;
}

/** Places before the first digit, for leading digits that were lost as zeros: 100.3 copied as 000.3 has lost three. */
const lostInFront = 6;
const largestShift = 6;

const withDigit = (number: PrintedNumber, index: number, digit: string): PrintedNumber => ({
  ...number,
  digits: number.digits.slice(0, index) + digit + number.digits.slice(index + 1),
});

function* digitSlips({ name, printed }: PrintedCoefficient, last: number): Generator<Slip> {
  const extended = extendedTo(printed, last);
  const padded = { ...extended, digits: "0".repeat(lostInFront) + extended.digits };
  for (let index = 0; index < padded.digits.length; index += 1) {
    const is = padded.digits[index]!;
    for (let digit = 0; digit <= 9; digit += 1) {
      if (String(digit) === is) continue;
      yield {
        kind: "digit",
        coefficient: name,
        position: Math.max(index - lostInFront + 1, 0),
        power: leadingPower(padded) - index,
        is,
        shouldBe: String(digit),
        corrected: new Map([[name, numberOf(withDigit(padded, index, String(digit)))]]),
      };
    }
  }
}

function* swapSlips({ name, printed }: PrintedCoefficient, last: number): Generator<Slip> {
  const padded = extendedTo(printed, last);
  for (let index = 0; index + 1 < padded.digits.length; index += 1) {
    const pair = padded.digits.slice(index, index + 2);
    if (pair[0] === pair[1]) continue;
    const swapped = withDigit(withDigit(padded, index, pair[1]!), index + 1, pair[0]!);
    yield {
      kind: "swapped-digits",
      coefficient: name,
      position: index + 1,
      power: leadingPower(padded) - index,
      is: pair,
      shouldBe: pair[1]! + pair[0]!,
      corrected: new Map([[name, numberOf(swapped)]]),
    };
  }
}

function* wholeSlips({ name, printed }: PrintedCoefficient): Generator<Slip> {
  const value = numberOf(printed);
  if (value === 0) return;
  const text = (number: PrintedNumber): string => String(numberOf(number));
  const turned = { ...printed, negative: !printed.negative };
  yield {
    kind: "sign",
    coefficient: name,
    is: text(printed),
    shouldBe: text(turned),
    corrected: new Map([[name, -value]]),
  };
  for (let shift = -largestShift; shift <= largestShift; shift += 1) {
    if (shift === 0) continue;
    const moved = { ...printed, last: printed.last + shift };
    yield {
      kind: "decimal-shift",
      coefficient: name,
      is: text(printed),
      shouldBe: text(moved),
      corrected: new Map([[name, numberOf(moved)]]),
    };
  }
}

function* exchanges(coefficients: readonly PrintedCoefficient[]): Generator<Slip> {
  for (const [index, one] of coefficients.entries()) {
    for (const other of coefficients.slice(index + 1)) {
      const [first, second] = [numberOf(one.printed), numberOf(other.printed)];
      if (first === second) continue;
      yield {
        kind: "exchanged",
        coefficient: one.name,
        other: other.name,
        is: `${first}, ${second}`,
        shouldBe: `${second}, ${first}`,
        corrected: new Map([
          [one.name, second],
          [other.name, first],
        ]),
      };
    }
  }
}

/**
 * Every single slip that the coefficients may hold: each digit another, neighbouring digits the wrong way round, a sign, a
 * power of ten, two coefficients in each other's place. Coefficients with fewer digits than the longest are taken to have
 * lost zeros at their end, because a number read from a file no longer shows them.
 */
export function* possibleSlips(coefficients: readonly PrintedCoefficient[]): Generator<Slip> {
  const longest = Math.max(0, ...coefficients.map(({ printed }) => printed.digits.length));
  for (const coefficient of coefficients) {
    const last = Math.min(coefficient.printed.last, leadingPower(coefficient.printed) - longest + 1);
    yield* digitSlips(coefficient, last);
    yield* swapSlips(coefficient, last);
    yield* wholeSlips(coefficient);
  }
  yield* exchanges(coefficients);
}

import type { FaultCode } from "./codes.ts";

/** What a fault says to people and programs: a stable code, a sentence that says what to do, and the figures in it. */
export interface FaultValue {
  readonly code: FaultCode;
  readonly message: string;
  readonly data?: Readonly<Record<string, unknown>>;
}

/**
 * An expected outcome that is not the wanted value travels as a value, not as an exception:
 * a sensor that is open, a temperature out of range, a point that cannot be decided.
 */
export type Outcome<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly fault: FaultValue };

export const success = <T>(value: T): Outcome<T> => ({ ok: true, value });

export const failure = (
  code: FaultCode,
  message: string,
  data?: Readonly<Record<string, unknown>>,
): { readonly ok: false; readonly fault: FaultValue } => ({
  ok: false,
  fault: data === undefined ? { code, message } : { code, message, data },
});

/** The one error class. Thrown for what the caller cannot be expected to handle in line; a cause is never dropped. */
export class Fault extends Error {
  override readonly name = "Fault";
  readonly code: FaultCode;
  readonly data: Readonly<Record<string, unknown>>;

  constructor(code: FaultCode, message: string, options: { data?: Record<string, unknown>; cause?: unknown } = {}) {
    super(message, options.cause === undefined ? undefined : { cause: options.cause });
    this.code = code;
    this.data = options.data ?? {};
  }

  /** The one shape in which a fault leaves the program: `{"error":{"code","message",…}}`. */
  toJSON(): { error: FaultValue } {
    return { error: faultValue(this) };
  }
}

/** Any thrown thing as a fault value; what is not a fault is a defect and is called so, with its own words kept. */
export const faultValue = (thrown: unknown): FaultValue => {
  if (thrown instanceof Fault) {
    return Object.keys(thrown.data).length === 0
      ? { code: thrown.code, message: thrown.message }
      : { code: thrown.code, message: thrown.message, data: thrown.data };
  }
  const words = thrown instanceof Error ? thrown.message : String(thrown);
  return { code: "internal", message: `A defect of this program, please report it: ${words}` };
};

/** The value of an outcome, or its fault thrown. For places where the expected outcome can only be the value. */
export const unwrap = <T>(outcome: Outcome<T>): T => {
  if (outcome.ok) return outcome.value;
  throw new Fault(outcome.fault.code, outcome.fault.message, { data: { ...outcome.fault.data } });
};

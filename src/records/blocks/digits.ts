/**
 * How a wire writes a number: with so many places, in the plain or the exponent form. What fits is told by the value alone, so
 * that the digits as they came need not be kept beside it.
 */
export type WireForm =
  | { readonly kind: "fixed"; readonly places: number; readonly plus: boolean }
  | { readonly kind: "exponent"; readonly places: number; readonly plus: boolean; readonly width: number };

const fixedForm = /^([+-]?)\d+(?:\.(\d+))?$/;
const exponentForm = /^([+-]?)\d(?:\.(\d+))?E[+-](\d+)$/;

/** The form of digits as they came; null where they are neither. */
export const wireForm = (text: string): WireForm | null => {
  const fixed = fixedForm.exec(text);
  if (fixed !== null) return { kind: "fixed", places: fixed[2]?.length ?? 0, plus: fixed[1] === "+" };
  const exponent = exponentForm.exec(text);
  if (exponent === null) return null;
  return {
    kind: "exponent",
    places: exponent[2]?.length ?? 0,
    plus: exponent[1] === "+",
    width: exponent[3]!.length,
  };
};

/** The digits of a value in a form. */
export const inForm = (value: number, form: WireForm): string => {
  const sign = value < 0 || !form.plus ? "" : "+";
  if (form.kind === "fixed") return `${sign}${value.toFixed(Math.min(100, form.places))}`;
  const [mantissa, exponent] = value.toExponential(Math.min(100, form.places)).split("e") as [string, string];
  return `${sign}${mantissa}E${exponent[0]}${exponent.slice(1).padStart(form.width, "0")}`;
};

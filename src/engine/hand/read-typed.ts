import { failure, success, type Outcome } from "#fault";

/** Longest that is taken: no display has more. */
const mostDigits = 24;

const shape = /^([+-]?)(\d+(?:\.\d*)?|\.\d+)\s*([^\d\s]\S*)?$/;

/** °C written in the ways in which people write it. */
const sameUnit = (typed: string, unit: string): boolean => {
  const plain = (text: string): string => text.replaceAll(/[\s°]/g, "").replace("Ω", "ohm").toLowerCase();
  return plain(typed) === plain(unit);
};

/**
 * A value as a person types it: decimal comma or point, a sign, the unit after it if wanted. Anything else is refused with what
 * would be right: a comma and a point together could mean two things, and guessing is not ours.
 */
export const readTyped = (text: string, unit: string): Outcome<number> => {
  const typed = text.trim().replaceAll(/[\u2212\u2013]/g, "-");
  const refused = (why: string): Outcome<number> => failure("input.invalid", why, { typed: text });
  if (typed === "") return refused("Type what the display shows.");
  if (typed.length > mostDigits) return refused(`"${typed.slice(0, mostDigits)}…" is too long for a reading.`);
  if (typed.includes(",") && typed.includes("."))
    return refused(
      `"${typed}" has a comma and a point. Type one of them, for the decimals, and nothing between thousands.`,
    );
  const match = shape.exec(typed.replace(",", "."));
  if (match === null)
    return refused(`"${typed}" is not a number. Type digits, with a decimal comma or point, as the display shows.`);
  const [, sign, digits, own] = match;
  if (own !== undefined && !sameUnit(own, unit))
    return refused(`This channel is read in ${unit}, not in ${own}. Type the value in ${unit}.`);
  return success(Number(`${sign}${digits}`));
};

import type { ChannelUnit } from "#quantity";

const thousandths: Readonly<Record<string, number>> = { "mV V": 1e-3, "mA A": 1e-3, "Ω kΩ": 1e-3 };

/** A value of a channel in the unit in which the instrument answers. */
export const inAnswerUnit = (value: number, unit: ChannelUnit, answers: string): number =>
  value * (thousandths[`${unit} ${answers}`] ?? 1);

/** The same with the digits that such an instrument shows. */
export const digitsInAnswerUnit = (value: number, unit: ChannelUnit, answers: string, decimals: number): string => {
  const moved = unit !== answers && `${unit} ${answers}` in thousandths;
  return inAnswerUnit(value, unit, answers).toFixed(moved ? decimals + 3 : decimals);
};

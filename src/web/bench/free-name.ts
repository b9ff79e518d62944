import type { KeptInstrument } from "#contract";

/** A name that nothing has yet, so that nobody must think of one: the role and a number. */
export const freeName = (role: KeptInstrument["role"], taken: readonly Pick<KeptInstrument, "name">[]): string => {
  const names = new Set(taken.map(({ name }) => name));
  const numbers = Array.from({ length: names.size + 1 }, (_, index) => index + 1);
  return `${role}-${numbers.find((number) => !names.has(`${role}-${number}`))}`;
};

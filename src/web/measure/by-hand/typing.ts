/** A text being typed, and what of it is selected: the next key takes the selection's place. */
export interface Typing {
  readonly text: string;
  readonly from: number;
  readonly to: number;
}

const longest = 24;

/**
 * The last value as a start, its last digits selected: the ones that change from one reading to the next, which are the decimals and
 * the digit before them. Nothing before it: an empty text.
 */
export const startFrom = (last: string | null): Typing => {
  const text = last?.trim().replace(/[^\d.,+\-\u2212].*$/, "") ?? "";
  const decimals = /[.,]\d*$/.exec(text)?.[0].length ?? 0;
  return { text, from: Math.max(0, text.length - decimals - 1), to: text.length };
};

/** A key of the keypad: a digit, a decimal comma or point, a sign, or a step back. */
export type Key = "0" | "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" | "," | "." | "sign" | "back" | "clear";

const replaced = ({ text, from, to }: Typing, by: string): Typing => {
  const next = text.slice(0, from) + by + text.slice(to);
  return next.length > longest ? { text, from, to } : { text: next, from: from + by.length, to: from + by.length };
};

const signed = ({ text, from, to }: Typing): Typing => {
  if (/^[-\u2212]/.test(text)) return { text: text.slice(1), from: Math.max(0, from - 1), to: Math.max(0, to - 1) };
  const bare = text.replace(/^\+/, "");
  const moved = 1 - (text.length - bare.length);
  return { text: `-${bare}`, from: from + moved, to: to + moved };
};

/** One decimal mark in a number: a second one takes the first one's place. */
const withMark = (typing: Typing, mark: string): Typing => {
  const { text, from, to } = typing;
  const left = text.slice(0, from) + text.slice(to);
  const old = left.search(/[.,]/);
  if (old < 0) return replaced(typing, mark);
  const whole = left.slice(0, old) + left.slice(old + 1);
  const at = old < from ? from - 1 : from;
  return replaced({ text: whole, from: at, to: at }, mark);
};

export const press = (typing: Typing, key: Key): Typing => {
  switch (key) {
    case "sign":
      return signed(typing);
    case "clear":
      return { text: "", from: 0, to: 0 };
    case "back":
      return typing.from < typing.to
        ? replaced(typing, "")
        : replaced({ ...typing, from: Math.max(0, typing.from - 1) }, "");
    case ",":
    case ".":
      return withMark(typing, key);
    default:
      return replaced(typing, key);
  }
};

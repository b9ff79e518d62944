import type { Coverage } from "./glyph-coverage.ts";

/** Invisible characters that change how other characters read: a certificate shows them instead of obeying them. */
const steering = /[\p{Cf}\p{Co}\p{Cs}\p{Cn}]/u;
const control = /[\p{Cc}\u2028\u2029]/gu;
const zeroWidthSpace = "\u200b";

/** Letters between two places to break in a word that is too long for a narrow column. */
const stride = 6;
/** A hash is copied from paper; nothing unseen may stand in it, and its column is wide enough. */
const hash = /^[0-9a-f]{64}$/;

const codeName = (codePoint: number): string => `[U+${codePoint.toString(16).toUpperCase().padStart(4, "0")}]`;

/** Places where a tag, a number or a very long word may be broken, so that it cannot leave its column. */
const breakable = (text: string): string =>
  text.replaceAll(/(?=\S*\d)\S{13,}|\S{24,}/gu, (word) => {
    if (hash.test(word)) return word;
    const letters = [...word];
    return letters
      .map((letter, index) =>
        index > 0 && (index % stride === 0 || /[-_/.,;:@]/.test(letters[index - 1]!))
          ? `${zeroWidthSpace}${letter}`
          : letter,
      )
      .join("");
  });

export interface VisibleText {
  /** The text for paper: what no font shows is written as its code, such as [U+1F321]. */
  text(source: string): string;
  /** The codes so written, in the order met. */
  readonly replaced: ReadonlySet<string>;
}

/** Makes text safe to set: nothing is left out silently, and nothing steers the layout. */
export const visibleText = (covers: Coverage): VisibleText => {
  const replaced = new Set<string>();
  const known = new Map<string, string>();
  const visible = (character: string): string => {
    const codePoint = character.codePointAt(0)!;
    if (!steering.test(character) && covers(codePoint)) return character;
    const name = codeName(codePoint);
    replaced.add(name);
    return name;
  };
  const convert = (source: string): string => {
    if (/^[\x20-\x7e]*$/.test(source)) return breakable(source);
    return breakable([...source.replaceAll(control, " ")].map(visible).join(""));
  };
  return {
    replaced,
    text: (source) => {
      const before = known.get(source);
      if (before !== undefined) return before;
      const after = convert(source);
      known.set(source, after);
      return after;
    },
  };
};

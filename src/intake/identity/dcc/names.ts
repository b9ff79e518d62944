import { under, type Element } from "./safe-xml.ts";

/** The text of a multilingual element, English where there is a choice; null where there is none. */
export const wordsAt = (element: Element, ...path: readonly string[]): string | null => {
  const contents = under(element, ...path, "dcc:content").filter(({ text }) => text !== "");
  const chosen = contents.find(({ attributes }) => attributes["lang"] === "en") ?? contents[0];
  return chosen?.text.replaceAll(/\s+/g, " ") ?? null;
};

export const hasType = (element: Element, type: string): boolean =>
  (element.attributes["refType"] ?? "").split(/\s+/).includes(type);

const subscripts = "₀₁₂₃₄₅₆₇₈₉";

/** How a coefficient is called, whatever way it is written: `R_{0}`, `R₀ in Ω` and `r0` are one. */
export const coefficientName = (written: string): string =>
  [...written]
    .map((letter) => (subscripts.includes(letter) ? String(subscripts.indexOf(letter)) : letter))
    .join("")
    .replace(/\s+in\s.*$/, "")
    .replaceAll(/[\s_{}$\\]/g, "")
    .replace("(0.01°C)", "tpw")
    .toLowerCase();

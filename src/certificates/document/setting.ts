import type { Cell } from "./model.ts";
import {
  decimal,
  limitsCell,
  percent,
  plainNumber,
  setMinus,
  significant,
  withHalfWidth,
  withUnit,
} from "./typeset.ts";

/** How a language sets numbers in text. What a program reads (`plain`) is the same in every language. */
export interface Setting {
  /** The decimal sign. */
  readonly sign: "." | ",";
  /** Every decimal sign of a text that holds numbers. */
  readonly number: (text: string) => string;
  readonly decimal: (value: number) => string;
  readonly significant: (value: number, digits: number) => string;
  readonly unit: (plain: string, unit: string) => string;
  readonly halfWidth: (value: number, halfWidth: number, unit: string) => string;
  readonly cell: (reported: string) => Cell;
  readonly limits: (lower: string, upper: string) => Cell;
  readonly percent: (share: number) => string;
}

/**
 * Numbers with a decimal sign: the comma in German, Spanish and French, the point in English (ISO 80000-1:2022, 7.3.2, from
 * memory: either may be used). Digits are not grouped, so that none can be taken for another.
 */
export const settingWith = (sign: "." | ","): Setting => {
  const number = (text: string): string => setMinus(sign === "." ? text : text.replaceAll(/(?<=\d)\.(?=\d)/g, sign));
  const both = ({ text, plain }: Cell): Cell => ({ text: number(text), plain });
  return {
    sign,
    number,
    decimal: (value) => number(decimal(value)),
    significant: (value, digits) => number(significant(value, digits)),
    unit: (plain, unit) => number(withUnit(plain, unit)),
    halfWidth: (value, halfWidth, unit) => number(withHalfWidth(value, halfWidth, unit)),
    cell: (reported) => ({ text: number(plainNumber(reported)), plain: plainNumber(reported) }),
    limits: (lower, upper) => both(limitsCell(lower, upper)),
    percent: (share) => number(percent(share)),
  };
};

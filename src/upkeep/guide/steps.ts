import { touchable, cautions } from "./cautions.ts";

/** Where thermometers are, and what goes through them: what a person arranges. */
export interface Arrangement {
  readonly well?: string;
  readonly height?: number;
  readonly depth?: number;
  readonly loaded?: boolean;
  /** mA */
  readonly current?: number;
  readonly point?: "ice-point" | "water-triple-point" | "source";
}

/** One step of a guided procedure: what is to be done, by the bench or by a person, in order. */
export type UpkeepStep =
  | { readonly do: "caution"; readonly text: string }
  | { readonly do: "arrange"; readonly text: string; readonly caution: string; readonly place: Arrangement }
  | { readonly do: "set"; readonly text: string; readonly temperature: number }
  | { readonly do: "settle"; readonly text: string; readonly target: number }
  | {
      readonly do: "read";
      readonly text: string;
      readonly seconds: number;
      readonly every: number;
      /** What is said of the stay in the document, beside its readings. */
      readonly visit: Readonly<Record<string, unknown>>;
    }
  | { readonly do: "cool"; readonly text: string; readonly below: number }
  | { readonly do: "off"; readonly text: string };

export const coolDown: UpkeepStep = {
  do: "cool",
  text: `Output off; wait until it is below ${touchable} °C.`,
  below: touchable,
};

export const ending: readonly UpkeepStep[] = [
  { do: "off", text: "Output off." },
  { do: "caution", text: cautions.cool },
];

/** There and back again: a b c b a, so that a drift can be told from what the places differ by (rule K2). */
export const thereAndBack = <T>(places: readonly T[]): T[] => [...places, ...places.slice(0, -1).toReversed()];

import type { EngineView } from "#engine";

/** What a run wants of the hands of a person now. */
export type WantedOfPerson =
  | { readonly kind: "set-point"; readonly temperature: number }
  | { readonly kind: "answer"; readonly channel: string; readonly typed: string; readonly question: string }
  | {
      readonly kind: "reading";
      readonly channel: string;
      readonly name: string;
      readonly unit: string;
      readonly last: string | null;
      readonly taken: number;
      readonly wanted: number;
      /** Whether the point may be finished with the readings there are. */
      readonly enough: boolean;
    }
  | { readonly kind: "check" };

/** Null where the run goes on by itself. A pause is no such wish: it is answered otherwise. */
export const wantedOfPerson = ({ hand, commands }: Pick<EngineView, "hand" | "commands">): WantedOfPerson | null => {
  if (commands.includes("record-check")) return { kind: "check" };
  if (hand === null) return null;
  if (hand.setPoint !== null) return { kind: "set-point", temperature: hand.setPoint };
  if (hand.question !== null) {
    const { channel, typed, question } = hand.question;
    return { kind: "answer", channel, typed, question };
  }
  const channel = hand.channels.find((each) => each.channel === hand.asked?.channels[0]);
  if (channel === undefined) return null;
  const { name, unit, last } = channel;
  const enough = commands.includes("enough-readings");
  const { taken, wanted } = hand;
  return { kind: "reading", channel: channel.channel, name, unit, last, taken, wanted, enough };
};

/** Two looks at the same wish have the same text. */
export const wishText = (view: Pick<EngineView, "hand" | "commands">): string =>
  `${JSON.stringify(wantedOfPerson(view))} ${view.hand?.asked?.at ?? ""}`;

import { failure } from "#fault";
import type { ChannelUnit } from "#quantity";
import type { ReadingMeaning } from "../drivers/reading.ts";
import type { Addressee } from "../drivers/addressee.ts";
import { showText } from "../wire/latin-text.ts";

/** What a person should hear of an answer that is no value. */
export const whyNoValue = (
  addressee: Addressee,
  channel: string,
  input: number,
  unit: ChannelUnit,
  meaning: Exclude<ReadingMeaning, { kind: "reading" } | { kind: "malformed" }>,
) => {
  // An instrument that is tried by itself has no channels yet.
  const where =
    addressee.id === "" ? `Input ${input}` : `Channel "${channel}" (instrument "${addressee.id}", input ${input})`;
  const data = { channel, instrument: addressee.id, wire: meaning.wire };
  if (meaning.kind === "no-value") {
    return failure(
      "instrument.reported",
      `${where} has no value to give: the instrument answers ${showText(meaning.wire)}, SCPI's "not a number". Check that the input is set up for ${unit} and that a measurement is running.`,
      data,
    );
  }
  if (meaning.kind === "between") {
    return failure(
      "signal.out-of-range",
      `${where} reads a contact of ${showText(meaning.wire)}, which is neither closed (below ${meaning.limits.closedBelow}) nor open (above ${meaning.limits.openAbove}). Clean or load the contact, or check what else is connected to it.`,
      data,
    );
  }
  return meaning.sign > 0
    ? failure(
        "signal.open-circuit",
        `${where} is beyond what the instrument can measure in ${unit}: it answers ${showText(meaning.wire)}${/^[+]?9\.9E\+?37$/i.test(meaning.wire) ? ", SCPI's infinity" : ""}. The sensor's circuit is probably open: check its connections, then repeat the point.`,
        data,
      )
    : failure(
        "signal.out-of-range",
        `${where} is below what the instrument can measure in ${unit}: it answers ${showText(meaning.wire)}${/^-9\.9E\+?37$/i.test(meaning.wire) ? ", SCPI's negative infinity" : ""}. Check the polarity of the connections and the sensor, then repeat the point.`,
        data,
      );
};

import type { SignalUnit } from "#quantity";

/** Other ways in which people and programs write the units of signals; U+2103 is a sign of its own. */
const spellings: Readonly<Record<string, SignalUnit>> = {
  "°c": "°C",
  c: "°C",
  degc: "°C",
  "deg c": "°C",
  celsius: "°C",
  ºc: "°C",
  "\u2103": "°C",
  ω: "Ω",
  ohm: "Ω",
  ohms: "Ω",
  mv: "mV",
  millivolt: "mV",
  ma: "mA",
  milliampere: "mA",
};

/** The unit that a text stands for, whatever its spelling; undefined where it is none of the four. */
export const unitMeant = (text: string): SignalUnit | undefined =>
  spellings[text.normalize("NFC").trim().toLowerCase().replaceAll(/\s+/g, " ")];

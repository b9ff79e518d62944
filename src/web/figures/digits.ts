import { reportedUncertainty, roundedTo } from "#quantity";

/** A true minus sign, as wide as the plus. */
export const typeset = (text: string): string => text.replace("-", "−");

/** The same for an error that comes as text: what is above zero says so. */
export const typesetError = (text: string): string => (/^[\d.]*[1-9]/.test(text) ? `+${text}` : typeset(text));

/**
 * Places after the point that an uncertainty gives a meaning to (two significant digits of it), `most` at the most; two
 * where there is no uncertainty yet.
 */
export const placesFor = (uncertainty: number | null, most = 3): number => {
  const kept = uncertainty === null ? null : reportedUncertainty(uncertainty);
  return kept === null || !kept.ok ? Math.min(2, most) : Math.max(0, Math.min(most, kept.value.places));
};

/** A number to a decimal place; a dash for what is not a number at all. */
export const plain = (value: number, places: number): string =>
  Number.isFinite(value) ? typeset(roundedTo(value, places)) : "–";

/** The same with its sign always shown, as errors and differences are written. */
export const signed = (value: number, places: number): string => {
  const text = plain(value, places);
  return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
};

/** A share or a probability; what is nearly nothing or nearly all is not called nothing or all. */
export const percent = (share: number): string => {
  if (share > 0 && share < 0.0005) return "< 0.1 %";
  if (share < 1 && share > 0.9995) return "> 99.9 %";
  return `${plain(share * 100, share > 0 && (share < 0.01 || share > 0.99) && share < 1 ? 1 : 0)} %`;
};

/** A probability that was worked out from a distribution: it may come near to never and always, and is neither. */
export const chance = (probability: number): string => percent(Math.min(1 - 1e-12, Math.max(1e-12, probability)));

/** A nominal temperature: as it was written in the job. */
export const nominal = (temperature: number): string => typeset(String(temperature));

/** A signal with the digits that a readout gives. */
export const signal = (value: number): string => plain(value, Math.abs(value) >= 100 ? 3 : 4);

/**
 * The same temperature in kelvin: t/°C + 273.15 added exactly on the decimal digits, so that no digit of the reported value
 * is lost or made up by binary arithmetic. The result has at least two decimals. SI Brochure (9th edition), 2.3.1.
 * @throws RangeError where the text is not a plain decimal number.
 */
export const kelvinText = (celsius: string): string => {
  const match = /^(-?)(\d+)(?:\.(\d+))?$/.exec(celsius);
  if (match === null) throw new RangeError(`"${celsius}" is not a plain decimal number.`);
  const fraction = match[3] ?? "";
  const places = Math.max(2, fraction.length);
  const scaled = BigInt(`${match[2]}${fraction.padEnd(places, "0")}`) * (match[1] === "-" ? -1n : 1n);
  const kelvin = scaled + 27_315n * 10n ** BigInt(places - 2);
  const sign = kelvin < 0n ? "-" : "";
  const digits = String(kelvin < 0n ? -kelvin : kelvin).padStart(places + 1, "0");
  return `${sign}${digits.slice(0, -places)}.${digits.slice(-places)}`;
};

/** A length of time as one reads it off a clock that began with the record: h:mm:ss, with parts of a second where there are. */
export const elapsedText = (seconds: number): string => {
  const thousandths = Math.round(seconds * 1000);
  const [hours, rest] = [Math.floor(thousandths / 3_600_000), thousandths % 3_600_000];
  const [minutes, left] = [Math.floor(rest / 60_000), rest % 60_000];
  const whole = String(Math.floor(left / 1000)).padStart(2, "0");
  const part =
    left % 1000 === 0
      ? ""
      : `.${String(left % 1000)
          .padStart(3, "0")
          .replace(/0+$/, "")}`;
  return `${hours}:${String(minutes).padStart(2, "0")}:${whole}${part}`;
};

/** The same back: h:mm:ss, mm:ss or seconds; null where it is none of them. */
export const elapsedSeconds = (text: string): number | null => {
  const parts = /^(?:(?:(\d+):)?(\d{1,3}):)?(\d+(?:[.,]\d+)?)$/.exec(text.trim());
  if (parts === null) return null;
  const [, hours = "0", minutes = "0", seconds = "0"] = parts;
  return Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds.replace(",", "."));
};

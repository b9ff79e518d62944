/** Times are shown in the zone of the machine that shows them; the same instant in UTC stands in the title. */
export interface Instant {
  readonly text: string;
  readonly utc: string;
  readonly iso: string;
}

const hourMinute = new Intl.DateTimeFormat(undefined, { hour: "2-digit", minute: "2-digit", hour12: false });
const dayAndTime = new Intl.DateTimeFormat(undefined, {
  day: "numeric",
  month: "short",
  year: "numeric",
  hour: "2-digit",
  minute: "2-digit",
  hour12: false,
});
const day = new Intl.DateTimeFormat(undefined, { day: "numeric", month: "short", year: "numeric" });

const instant = (at: Date, format: Intl.DateTimeFormat): Instant => {
  const iso = at.toISOString();
  return { text: format.format(at), utc: `${iso.slice(0, 10)} ${iso.slice(11, 19)} UTC`, iso };
};

/** An instant on a run's clock: seconds after its opening. */
export const onRunClock = (opened: string, seconds: number): Instant =>
  instant(new Date(Date.parse(opened) + seconds * 1000), hourMinute);
export const atTime = (iso: string): Instant => instant(new Date(iso), dayAndTime);
export const onDay = (iso: string): Instant => instant(new Date(iso), day);
export const atMillisecond = (milliseconds: number): Instant => instant(new Date(milliseconds), hourMinute);

/** A length of time as one would say it. */
export const duration = (seconds: number): string => {
  const whole = Math.max(0, Math.round(seconds));
  if (whole < 60) return `${whole} s`;
  const minutes = Math.round(whole / 60);
  if (minutes < 100) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
};

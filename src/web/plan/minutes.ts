/** A time of a plan: whole minutes are as exact as it can be; hours from 100 minutes on. */
export const minutesText = (seconds: number, unit = " min"): string => {
  const minutes = Math.max(1, Math.round(seconds / 60));
  if (seconds <= 0) return `0${unit}`;
  if (minutes < 100 || unit === "") return `${minutes}${unit}`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
};

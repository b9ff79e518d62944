export const stages = ["plan", "measure", "judge", "issue"] as const;
export type Stage = (typeof stages)[number];

export interface JobSearch {
  readonly stage?: Stage | undefined;
  readonly run?: string | undefined;
  /** A stop on the route: pass and point, `as-left.2`. */
  readonly stop?: string | undefined;
  readonly item?: string | undefined;
}

const words = (value: unknown): string | undefined =>
  typeof value === "number" ? String(value) : typeof value === "string" && value !== "" ? value : undefined;

/** What of a job page's address can be used; anything else is left out. */
export const readJobSearch = (raw: Record<string, unknown>): JobSearch => {
  const stage = stages.find((name) => name === raw["stage"]);
  const run = words(raw["run"]);
  const stop = words(raw["stop"]);
  const item = words(raw["item"]);
  return { ...(stage && { stage }), ...(run && { run }), ...(stop && { stop }), ...(item && { item }) };
};

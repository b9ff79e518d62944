/** By how much forecasts of one kind were wrong on this source and item: ln(real time left / forecast), running. */
export interface KnownRatio {
  readonly count: number;
  readonly mean: number;
  /** Sum of squared deviations from the mean. */
  readonly squares: number;
}

/** What finished approaches of one item on one source taught about the time left: plain data, small, for a prior. */
export interface KnownPace {
  /** Of forecasts made while the source was on its way, and once it rested. */
  readonly way: KnownRatio;
  readonly rest: KnownRatio;
}

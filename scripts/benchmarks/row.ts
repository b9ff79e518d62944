/** One line of the table of speeds: what we reached, what the peer reached in the same run, and the goal. */
export interface Row {
  readonly name: string;
  readonly ours: string;
  readonly peer: string;
  readonly ratio: number | null;
  readonly goal: string;
}

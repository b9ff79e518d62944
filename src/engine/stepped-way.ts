/** The set point on its way in steps: where it goes, how fast, and where it was sent last. */
export interface SteppedWay {
  /** °C. */
  readonly to: number;
  /** K/min. */
  readonly rate: number;
  readonly sent: number;
  /** When it was sent there, s. */
  readonly at: number;
}

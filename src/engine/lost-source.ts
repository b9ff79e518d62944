/** Contact with the heat source was lost: how it was left, as far as is known. */
export interface LostSource {
  readonly at: number;
  /** °C; null where it was never sent anywhere. */
  readonly setPoint: number | null;
  readonly output: boolean;
  /** What its own sensor read last, °C, and when, s. */
  readonly temperature: number | null;
  readonly seen: number | null;
  /** What it does by itself, as its catalogue entry declares; null where that says nothing. */
  readonly alone: { readonly does: "holds" | "switches-off"; readonly after: number | null } | null;
  /** What a person can do at the instrument itself. */
  readonly atDevice: string;
}

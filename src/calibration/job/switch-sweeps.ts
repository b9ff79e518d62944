import type { SwitchSensor } from "#thermometry";
import { toleranceAt } from "../tolerance/tolerance-at.ts";
import type { Item } from "./item.ts";
import type { Procedure } from "./procedure.ts";
import type { Ramp } from "./ramp.ts";

export type SwitchItem = Item & { readonly sensor: SwitchSensor };

export const isSwitch = (item: Item): item is SwitchItem => item.sensor.kind === "switch";

/** A change that a switch is to make on the way up or down. */
export interface ExpectedChange {
  readonly role: "trip" | "reset";
  readonly direction: "rising" | "falling";
  /** Whether the contact is closed after it. */
  readonly closed: boolean;
  /** Where it is expected, °C. */
  readonly expected: number;
  /** The agreed temperature; null for a reset that is agreed by its dead band only. */
  readonly nominal: number | null;
  /** Limits of the deviation from the nominal, K; null where none are agreed or defined. */
  readonly limits: { readonly lower: number; readonly upper: number } | null;
  /** Why there are no limits, where there are none. */
  readonly note: string | null;
  /** By how much it may be expected to miss, K. */
  readonly within: number;
}

const tripLimits = (item: SwitchItem): { limits: ExpectedChange["limits"]; note: string | null } => {
  const tolerance = toleranceAt(item.tolerance, item, item.sensor.trip);
  return tolerance.ok
    ? { limits: { lower: tolerance.value.lower, upper: tolerance.value.upper }, note: null }
    : { limits: null, note: tolerance.fault.message };
};

const defaultWithin = 1;

/** What a switch is to do on the way up and on the way down. */
export const expectedChanges = (
  item: SwitchItem,
): { readonly rising: ExpectedChange; readonly falling: ExpectedChange } => {
  const { sensor } = item;
  const { limits, note } = tripLimits(item);
  const back = sensor.tripsOn === "rising" ? -1 : 1;
  const middle = sensor.deadBand === undefined ? 0 : (sensor.deadBand.minimum + sensor.deadBand.maximum) / 2;
  const spread = sensor.deadBand === undefined ? 0 : (sensor.deadBand.maximum - sensor.deadBand.minimum) / 2;
  const within = limits === null ? defaultWithin : Math.max(-limits.lower, limits.upper);
  const change = (role: "trip" | "reset", direction: "rising" | "falling"): ExpectedChange => {
    const closed = (sensor.onRise === "closes") === (direction === "rising");
    if (role === "trip")
      return { role, direction, closed, expected: sensor.trip, nominal: sensor.trip, limits, note, within };
    if (sensor.reset === undefined) {
      const expected = sensor.trip + back * middle;
      const words = "The reset has no tolerance of its own; its dead band is judged.";
      return {
        role,
        direction,
        closed,
        expected,
        nominal: null,
        limits: null,
        note: words,
        within: within + spread,
      };
    }
    const { temperature, kelvin } = sensor.reset;
    return {
      role,
      direction,
      closed,
      expected: temperature,
      nominal: temperature,
      limits: { lower: -kelvin, upper: kelvin },
      note: null,
      within: kelvin,
    };
  };
  return sensor.tripsOn === "rising"
    ? { rising: change("trip", "rising"), falling: change("reset", "falling") }
    : { rising: change("reset", "rising"), falling: change("trip", "falling") };
};

const rounded = (temperature: number): number => Math.round(temperature * 1000) / 1000;

/** Beginning and end of a sweep that takes every switch of the job past its change, °C. */
const spanOf = (switches: readonly SwitchItem[], direction: "rising" | "falling", ramp: Ramp) => {
  const sign = direction === "rising" ? 1 : -1;
  const ends = switches.map((item) => {
    const { expected, within } = expectedChanges(item)[direction];
    const margin = 1.5 * within + 1;
    return { from: sign * expected - (ramp.before ?? margin), to: sign * expected + (ramp.beyond ?? margin) };
  });
  return {
    from: rounded(sign * Math.min(...ends.map(({ from }) => from))),
    to: rounded(sign * Math.max(...ends.map(({ to }) => to))),
  };
};

/**
 * The points of a job with switches: up and down, or down and up for a switch that trips on falling, as often as the
 * procedure says; every second cycle at its slower rate where there is one.
 */
export const sweepPoints = (items: readonly Item[], ramp: Ramp): Procedure["points"] => {
  const switches = items.filter(isSwitch);
  if (switches.length === 0) return [];
  const first = switches[0]!.sensor.tripsOn;
  const order = first === "rising" ? (["rising", "falling"] as const) : (["falling", "rising"] as const);
  return Array.from({ length: ramp.cycles }, (_, index) => index + 1).flatMap((cycle) =>
    order.map((direction) => {
      const { from, to } = spanOf(switches, direction, ramp);
      const rate = cycle % 2 === 0 ? (ramp.slowRate ?? ramp.rate) : ramp.rate;
      return { temperature: to, sweep: { from, rate, cycle } };
    }),
  );
};

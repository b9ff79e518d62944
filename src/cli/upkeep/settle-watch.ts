import { success, type Outcome } from "#fault";
import { createSettling, defaultSettling, forecastOf, observe, type SettlingState } from "#settling";
import { temperatureOf } from "#thermometry";
import type { Sensor } from "#thermometry";
import type { UpkeepPlan } from "#upkeep";

interface Reader {
  readonly channel: string;
  readonly sensor: Sensor;
  readonly junction: number;
}

/** Which two channels tell whether a place is at rest: what is judged, and against what; nothing: against the set point. */
export interface Watched {
  readonly item: Reader;
  readonly against: Reader | null;
}

/** The thermometers that a procedure watches while it waits. */
export const watchedOf = (plan: UpkeepPlan): Watched => {
  if (plan.kind === "characterisation" || plan.kind === "pull-test") {
    const fixed = { channel: "fixed", sensor: plan.fixed.sensor, junction: plan.fixed.junction };
    if (plan.moved === undefined) return { item: fixed, against: null };
    return { item: { channel: "moved", sensor: plan.moved.sensor, junction: plan.moved.junction }, against: fixed };
  }
  const item = { channel: "reference", sensor: plan.reference.sensor, junction: 0 };
  if (plan.kind === "self-heating" && plan.fixed !== undefined)
    return { item, against: { channel: "fixed", sensor: plan.fixed.sensor, junction: plan.fixed.junction } };
  return { item, against: null };
};

export const temperatureIn = ({ sensor, junction }: Reader, signal: number): Outcome<number> => {
  const converted = temperatureOf(sensor, signal, { coldJunction: junction });
  return converted.ok ? success(converted.value.temperature) : converted;
};

/** How near the set point the source must be before rest is judged: a share of the way, and some degrees, K (common practice, no source). */
const near = (setPoint: number): number => 3 + 0.02 * Math.abs(setPoint);

/** Judges rest by the same rules as a run, reading by reading; begins once the source is near its set point. */
export class SettleWatch {
  #state: SettlingState;
  readonly #setPoint: number;

  constructor(setPoint: number, target: number) {
    this.#setPoint = setPoint;
    this.#state = createSettling({ ...defaultSettling, target, setPoint, reports: "estimate" });
  }

  /** Whether it is at rest, with this reading. `against` null: the set point stands for the other thermometer. */
  take(time: number, item: number, against: number | null): boolean {
    if (Math.abs((against ?? item) - this.#setPoint) > near(this.#setPoint)) return false;
    this.#state = observe(this.#state, { time, reference: against ?? this.#setPoint, item });
    return this.#state.ready;
  }

  /** Seconds that are foreseen to be left; null while nothing can be said. */
  left(now: number): number | null {
    const forecast = forecastOf(this.#state);
    return forecast === null ? null : Math.max(0, forecast.at - now);
  }
}

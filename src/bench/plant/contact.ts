import type { Generator } from "#numerics";
import type { SwitchSensor } from "#thermometry";

/** How a switch really acts: at a rate of nought, on the mean of many changes; °C, K and s. */
export interface ContactModel {
  readonly onRise: "opens" | "closes";
  readonly rising: number;
  readonly falling: number;
  /** Standard deviation of one change from the next, K. */
  readonly repeatability: number;
  /** How long the contact bounces when it changes, s. */
  readonly chatter: number;
}

export interface Contact {
  step(temperature: number): void;
  closed(): boolean;
}

/** A switch's true temperatures where the simulation does not give them: near what is wanted (common practice, no source). */
export const drawContact = (sensor: SwitchSensor, generator: Generator): ContactModel => {
  const middle = sensor.deadBand === undefined ? 2 : (sensor.deadBand.minimum + sensor.deadBand.maximum) / 2;
  const width = sensor.reset === undefined ? middle : Math.abs(sensor.trip - sensor.reset.temperature);
  const trip = sensor.trip + 0.4 * generator.fork("trip").normal();
  const band = width * Math.max(0.3, 1 + 0.1 * generator.fork("dead band").normal());
  const high = sensor.tripsOn === "rising" ? trip : trip + band;
  return { onRise: sensor.onRise, rising: high, falling: high - band, repeatability: 0.01, chatter: 0 };
};

/** The contact of a switch on a grid of ticks of `tickLength` s. Each change comes a little off its mean; it may bounce. */
export const contactOf = (model: ContactModel, start: number, tickLength: number, generator: Generator): Contact => {
  let warm = start >= model.rising;
  let next = model.repeatability * generator.normal();
  let bouncing = 0;
  let shown = warm;
  return {
    step(temperature) {
      const crossed = warm ? temperature < model.falling + next : temperature > model.rising + next;
      if (crossed) {
        warm = !warm;
        next = model.repeatability * generator.normal();
        bouncing = Math.round(model.chatter / tickLength);
      }
      shown = bouncing > 0 ? generator.next() < 0.5 : warm;
      if (bouncing > 0) bouncing -= 1;
    },
    closed: () => (model.onRise === "closes") === shown,
  };
};

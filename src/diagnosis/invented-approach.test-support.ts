import { seededGenerator } from "#numerics";
import { signalOf, temperatureOf, type Sensor } from "#thermometry";
import { extendTrack, type ApproachTrack, type WatchedItem } from "#diagnosis";

export const conditions = ["healthy", "reversed", "stuck"] as const;
export type Condition = (typeof conditions)[number];

export interface InventedApproach {
  readonly item: WatchedItem;
  /** The track after each reading that gave a temperature. */
  readonly tracks: Iterable<ApproachTrack>;
}

const thermocouple: Sensor = { kind: "thermocouple", type: "K" };
const platinum: Sensor = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
};
const loop: Sensor = { kind: "loop", lower: 50, upper: 150 };

/** What a readout shows of a signal: thermocouples against their junction, loops between the ends that NE 43 allows. */
const shownSignal = (sensor: Sensor, temperature: number, junction: number): number | null => {
  if (sensor.kind === "loop") return Math.min(20.5, Math.max(3.8, 4 + (16 * (temperature - 50)) / 100));
  const outcome =
    sensor.kind === "thermocouple"
      ? signalOf(sensor, temperature, { coldJunction: junction })
      : signalOf(sensor, temperature);
  return outcome.ok ? outcome.value.signal : null;
};

/**
 * A first-order source and an item with a lag of its own, in steps of 2 s; every figure from the seed. Some begin in the middle of
 * another approach, as after a skipped point: the item is then far behind a reference that turns round.
 */
export const inventedApproach = (condition: Condition, seed: number): InventedApproach => {
  const generator = seededGenerator(seed).fork(condition);
  const draw = (low: number, high: number): number => low + (high - low) * generator.next();
  // Only a thermocouple can be turned round; a loop held at the end of its range looks like one that is merely outside it.
  const candidates = {
    healthy: [thermocouple, platinum, loop],
    reversed: [thermocouple],
    stuck: [thermocouple, platinum],
  }[condition];
  const sensor = candidates[Math.floor(candidates.length * generator.next())]!;
  const junction = draw(18, 30);
  const interrupted = condition === "healthy" && generator.next() < 0.4;
  const lag = draw(2, 250);
  const sourceTime = draw(30, 300);
  const start = interrupted ? draw(60, 250) : draw(15, 30);
  const goal = interrupted ? draw(-20, 300) : start + (generator.next() < 0.2 ? draw(-50, -20) : draw(30, 270));
  const noise = draw(0.001, 0.05);
  const digit = [0, 0.001, 0.01][Math.floor(3 * generator.next())]!;
  const error = draw(-2, 2);
  const tracks = function* (): Generator<ApproachTrack> {
    let reference = start;
    let element = interrupted ? start + draw(-60, 60) : start;
    let track: ApproachTrack | undefined;
    const held = shownSignal(sensor, start + error, junction);
    for (let time = 0; time < 1200; time += 2) {
      reference += ((goal - reference) * 2) / sourceTime;
      element += ((reference - element) * 2) / Math.max(2, lag);
      const real = shownSignal(sensor, element + error + noise * generator.normal(), junction);
      const turned = condition === "reversed" && real !== null ? -real : real;
      const signal = condition === "stuck" ? held : turned;
      if (signal === null) continue;
      const shown = digit === 0 ? signal : Math.round(signal / digit) * digit;
      const outcome = temperatureOf(sensor, shown, sensor.kind === "thermocouple" ? { coldJunction: junction } : {});
      if (!outcome.ok) continue;
      track = extendTrack(track, {
        time,
        reference: reference + 0.001 * generator.normal(),
        item: outcome.value.temperature,
        signal: shown,
      });
      yield track;
    }
  };
  return {
    item: { tag: "TT-101", thermocouple: sensor.kind === "thermocouple", loop: sensor.kind === "loop" },
    tracks: tracks(),
  };
};

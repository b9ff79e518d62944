import type { Reference } from "#calibration";
import { success, type Outcome } from "#fault";
import { signalOf, type Sensor } from "#thermometry";

/** What a change of a reference at one point means at another temperature, if it is still used with its old coefficients. */
export interface ShiftAt {
  readonly temperature: number;
  /** The whole curve scales, W = R(t)/R(TPW) held: what wear and strain of the wire do; K. */
  readonly ratioHeld: number;
  /** The same ohms everywhere: a lead, a contact, an offset of the readout; K. */
  readonly sameOhms: number;
  /** Standard uncertainty of the first, K. */
  readonly u: number;
}

/** Temperatures at which it is shown: ends of the range, the point, and round steps between. */
const shownTemperatures = ({ minimum, maximum }: Reference["range"], point: number): number[] => {
  const rough = (maximum - minimum) / 8;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((each) => each >= rough)!;
  const round: number[] = [];
  for (let at = Math.ceil(minimum / step) * step; at <= maximum + 1e-9; at += step)
    round.push(Number(at.toPrecision(12)));
  return [...new Set([minimum, maximum, ...(point >= minimum && point <= maximum ? [point] : []), ...round])].toSorted(
    (a, b) => a - b,
  );
};

/**
 * A change of resistance by `ohms` at `point` °C, carried to every temperature of the range (rule K18). W held: the wire's
 * resistance is everywhere larger by the same share f = ohms/R(point), so the thermometer with its old coefficients reads
 * f·R(t)/(dR/dt) too high. The same ohms: ohms/(dR/dt).
 */
export const shiftOverRange = (
  sensor: Sensor,
  range: Reference["range"],
  point: number,
  { ohms, u }: { readonly ohms: number; readonly u: number },
): Outcome<ShiftAt[]> => {
  const here = signalOf(sensor, point);
  if (!here.ok) return here;
  const share = ohms / here.value.signal;
  const rows: ShiftAt[] = [];
  for (const temperature of shownTemperatures(range, point)) {
    const there = signalOf(sensor, temperature);
    // Where its coefficients do not reach, the entry's range says more than they hold.
    if (!there.ok) continue;
    const { signal, slope } = there.value;
    rows.push({
      temperature,
      ratioHeld: (share * signal) / slope,
      sameOhms: ohms / slope,
      u: (Math.abs(u / here.value.signal) * signal) / slope,
    });
  }
  return success(rows);
};

/** The sensor with its resistance at the point as it is now; the ratio W, and so all other coefficients, held. */
export const rescaled = (sensor: Sensor, share: number): Sensor | null => {
  if (sensor.kind !== "platinum") return null;
  const places = (value: number) => Number(value.toPrecision(9));
  return sensor.equation === "its-90"
    ? { ...sensor, rtpw: places(sensor.rtpw * (1 + share)) }
    : { ...sensor, r0: places(sensor.r0 * (1 + share)) };
};

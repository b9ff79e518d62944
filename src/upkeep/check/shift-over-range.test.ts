import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, temperatureOf } from "#thermometry";
import { callendar } from "../planted-bench.test-support.ts";
import { rescaled, shiftOverRange } from "./shift-over-range.ts";

const range = { minimum: 0, maximum: 600 };

describe("what a shift in ice means elsewhere", () => {
  const slope = unwrap(signalOf(callendar, 0)).slope;
  const rows = unwrap(shiftOverRange(callendar, range, 0, { ohms: 0.05 * slope, u: 0.005 * slope }));
  const at = (temperature: number) => rows.find((row) => row.temperature === temperature)!;

  it("[K18] W held: 0.050 K in ice are 0.0714 K at 100 °C, 0.0935 at 200, 0.1163 at 300, 0.1907 at 600 (resistances of IEC 60751, by hand)", () => {
    // R(t)/(dR/dt) over that at 0 °C, with R(t) of the table of IEC 60751 and the slopes A + 2·B·t: 138.506/0.37928, 175.856/0.36773,
    // 212.051/0.35618 and 313.708/0.32153 Ω over Ω/K, against 100/0.39083.
    for (const [temperature, expected] of [
      [0, 0.05],
      [100, 0.0714],
      [200, 0.0935],
      [300, 0.1163],
      [600, 0.1907],
    ] as const)
      expect(at(temperature).ratioHeld).toBeCloseTo(expected, 4);
  });

  it("[K18] the same ohms: 0.050 K in ice are 0.0515 K at 100 °C and 0.0608 K at 600 °C", () => {
    expect(at(100).sameOhms).toBeCloseTo((0.05 * 0.39083) / 0.37928, 4);
    expect(at(600).sameOhms).toBeCloseTo((0.05 * 0.39083) / 0.32153, 3);
  });

  it("[K18] is what the thermometer really reads with its old coefficients", () => {
    const share = (0.05 * slope) / unwrap(signalOf(callendar, 0)).signal;
    for (const { temperature, ratioHeld } of rows.filter((row) => row.temperature < 600)) {
      const now = unwrap(signalOf(callendar, temperature)).signal * (1 + share);
      expect(unwrap(temperatureOf(callendar, now)).temperature - temperature).toBeCloseTo(ratioHeld, 4);
    }
  });

  it("[K18] its uncertainty grows alike", () => {
    expect(at(600).u / at(0).u).toBeCloseTo(at(600).ratioHeld / at(0).ratioHeld, 9);
  });

  it("[K24] the updated sensor reads right again, W held", () => {
    const share = 2e-4;
    const next = rescaled(callendar, share)!;
    for (const temperature of [0, 100, 420]) {
      const now = unwrap(signalOf(callendar, temperature)).signal * (1 + share);
      expect(unwrap(temperatureOf(next, now)).temperature).toBeCloseTo(temperature, 6);
    }
    expect(rescaled({ kind: "indication" }, share)).toBeNull();
  });
});

import { describe, expect, it } from "vitest";
import { temperatureOf, type Sensor } from "#thermometry";
import { firstOf, gives, junction, namedIn, olderPlatinum, platinum, typeOf } from "./invented-points.test-support.ts";

const shown = (sensor: Sensor, signal: number): number => {
  const converted = temperatureOf(sensor, signal, sensor.kind === "thermocouple" ? { coldJunction: junction } : {});
  return converted.ok ? converted.value.temperature : Number.NaN;
};

type Letter = Parameters<typeof typeOf>[0];

describe("wrong thermocouple type [D7]", () => {
  // Computed with the reference functions of IEC 60584-1, junction at 25 °C and compensated; common check figures, to 0.1 K.
  it.each<[Letter, Letter, (number | null)[]]>([
    ["K", "J", [44.6, 83.5, 230.7, 460.3]],
    ["K", "N", [62.2, 132.4, 370.0, 700.9]],
    ["K", "T", [49.5, 95.9, 253.3, null]],
    ["K", "E", [41.6, 74.0, 190.3, 355.5]],
    ["K", "S", [166.9, 397.8, 1150, null]],
    ["R", "S", [49.9, 100.5, 308.7, 633.8]],
    ["T", "J", [45.0, 87.0, 278.7, null]],
    ["J", "K", [56.9, 121.8, 391.8, 789.0]],
    ["N", "K", [41.7, 76.4, 238.4, 507.3]],
    ["T", "K", [50.5, 104.6, 363.8, null]],
    ["E", "K", [62.8, 142.2, 497.6, 1086]],
    ["S", "K", [28.9, 37.4, 77.9, 149.0]],
    ["S", "R", [50.1, 99.5, 291.8, 569.3]],
    ["J", "T", [56.1, 114.9, 320.2, null]],
  ])("%s set as %s shows the published figures, and is named", (really, set, figures) => {
    const temperatures = [50, 100, 300, 600].filter((_, index) => figures[index] !== null);
    for (const [index, temperature] of temperatures.entries())
      expect(Math.abs(shown(typeOf(set), gives(typeOf(really), temperature)) - figures[index]!)).toBeLessThan(
        figures[index]! > 1000 ? 0.6 : 0.06,
      );
    const diagnosis = firstOf({
      points: temperatures,
      items: [{ sensor: typeOf(set), signal: (temperature) => gives(typeOf(really), temperature) }],
    });
    expect(diagnosis).toMatchObject({ verdict: "suspected", together: 1 });
    expect(diagnosis.suspicions[0]).toMatchObject({ fault: "wrong-type", variant: `type ${really}` });
  });

  it.each<[Letter, Letter]>([
    ["K", "T"],
    ["R", "S"],
  ])(
    "%s and %s nearly coincide at 30 °C and 60 °C: nobody is accused there of what two points cannot show",
    (one, other) => {
      const near = firstOf({
        points: [30, 60],
        items: [{ sensor: typeOf(other), signal: (t) => gives(typeOf(one), t) }],
      });
      expect(near.verdict).not.toBe("suspected");
      const far = firstOf({
        points: [50, 300],
        items: [{ sensor: typeOf(other), signal: (t) => gives(typeOf(one), t) }],
      });
      expect(far.suspicions[0]).toMatchObject({ fault: "wrong-type", variant: `type ${one}` });
    },
  );

  it("every pair of types that can be told apart in 30 °C to 380 °C is told apart", () => {
    const letters: Letter[] = ["K", "J", "N", "T", "E", "R", "S"];
    for (const set of letters)
      for (const really of letters.filter((letter) => letter !== set)) {
        const { suspicions } = firstOf({
          points: [30, 120, 210, 300, 380],
          items: [{ sensor: typeOf(set), signal: (t) => gives(typeOf(really), t) }],
        });
        expect([set, suspicions[0]?.fault, suspicions[0]?.variant]).toEqual([set, "wrong-type", `type ${really}`]);
      }
  });
});

describe("connections of a thermocouple [D8]", () => {
  // Junction at 25 °C: what a single reversal of a type K shows (computed; common practice).
  it.each([
    [30, 20],
    [50, -0.6],
    [100, -56],
    [200, -218],
  ])("reversed at %s °C a type K shows %s °C", (temperature, figure) => {
    expect(Math.abs(shown(typeOf("K"), -gives(typeOf("K"), temperature)) - figure)).toBeLessThan(0.6);
  });

  it("a reversed type K at 300 °C gives no temperature, and is still named from the signals", () => {
    expect(shown(typeOf("K"), -gives(typeOf("K"), 300))).toBeNaN();
    const diagnosis = firstOf({
      points: [100, 300],
      items: [{ sensor: typeOf("K"), signal: (t) => -gives(typeOf("K"), t) }],
    });
    expect(diagnosis.suspicions[0]).toMatchObject({ fault: "reversed", sureness: "practically certain" });
  });

  // Head 45 °C, instrument 25 °C, tip 300 °C (computed; common practice).
  it.each<[Letter, number, number]>([
    ["K", -39.7, -19.8],
    ["J", -37.7, -18.9],
    ["T", -28.9, -14.4],
  ])("type %s: double reversal %s K, copper %s K", (type, double, copper) => {
    const sensor = typeOf(type);
    const head = gives(sensor, 45);
    expect(shown(sensor, gives(sensor, 300) - 2 * head) - 300).toBeCloseTo(double, 0);
    expect(shown(sensor, gives(sensor, 300) - head) - 300).toBeCloseTo(copper, 0);
    const points = [30, 120, 210, 300];
    for (const [times, fault] of [
      [2, "double-reversal"],
      [1, "copper-in-circuit"],
    ] as const) {
      const diagnosis = firstOf({
        points,
        items: [{ sensor, signal: (t) => gives(sensor, t) - times * gives(sensor, 35 + 0.05 * (t - 23)) }],
      });
      // Which of the two it is hangs on how warm the head gets: the points alone say them together.
      expect(namedIn(diagnosis)).toContain(fault);
      expect(diagnosis.verdict).toBe("suspected");
    }
  });

  it("no compensation: a type K at 100 °C against 25 °C shows 75.9 °C where an ice point is taken for granted", () => {
    const sensor = typeOf("K");
    const converted = temperatureOf(sensor, gives(sensor, 100));
    expect(converted.ok && converted.value.temperature).toBeCloseTo(75.9, 1);
    const diagnosis = firstOf({
      points: [50, 100, 200],
      items: [{ sensor, junction: "ice-point", signal: (t) => gives(sensor, t) }],
    });
    expect(diagnosis.suspicions[0]).toMatchObject({ fault: "junction-not-compensated" });
  });

  it("a junction off by 10 K is a constant voltage: said together with a shift of zero", () => {
    const sensor = typeOf("K");
    const diagnosis = firstOf({ points: [50, 200, 350], items: [{ sensor, signal: (t) => gives(sensor, t, 35) }] });
    expect(namedIn(diagnosis)).toEqual(expect.arrayContaining(["junction-offset", "zero-shift"]));
    expect(diagnosis.next).toBeNull();
    expect(diagnosis.sentence).toContain("These points cannot tell apart");
    expect(diagnosis.sentence).toContain("the two-minute tests do");
  });

  it("a short is read as the place where the wires touch", () => {
    const sensor = typeOf("K");
    const diagnosis = firstOf({ points: [50, 200, 350], items: [{ sensor, signal: () => gives(sensor, 29) }] });
    expect(diagnosis.suspicions[0]).toMatchObject({ fault: "short-circuit" });
  });
});

describe("resistance thermometers [D9]", () => {
  it.each([
    [100, 1.7],
    [200, 3.47],
    [300, 5.29],
  ])("α = 0.003916 read as 0.003851 at %s °C: +%s K (computed)", (temperature, figure) => {
    expect(shown(platinum(), gives(olderPlatinum, temperature)) - temperature).toBeCloseTo(figure, 1);
  });

  it("and is named, both ways round", () => {
    const points = [0, 100, 200, 300];
    const older = firstOf({ points, items: [{ sensor: platinum(), signal: (t) => gives(olderPlatinum, t) }] });
    expect(older.suspicions[0]).toMatchObject({ fault: "wrong-alpha", variant: "α = 0.003916" });
    const newer = firstOf({ points, items: [{ sensor: olderPlatinum, signal: (t) => gives(platinum(), t) }] });
    expect(newer.suspicions[0]).toMatchObject({ fault: "wrong-alpha", variant: "α = 0.003851" });
  });

  it("a lead of 1 Ω is +2.56 K at 0 °C and nearly constant (computed), and its resistance is found", () => {
    expect(shown(platinum(), gives(platinum(), 0) + 1)).toBeCloseTo(2.56, 2);
    expect(shown(platinum(), gives(platinum(), 300) + 1) - 300).toBeCloseTo(2.81, 1);
    const diagnosis = firstOf({
      points: [0, 100, 200, 300],
      items: [{ sensor: platinum(), signal: (t) => gives(platinum(), t) + 1.6 }],
    });
    const [first] = diagnosis.suspicions;
    expect(first).toMatchObject({ fault: "lead-resistance" });
    expect(Math.abs(first!.figures[0]!.value - 1.6)).toBeLessThan(0.4);
  });

  it("unequal leads can make it low, which no lead in two-wire connection can", () => {
    const diagnosis = firstOf({
      points: [0, 100, 200, 300],
      items: [{ sensor: platinum(), signal: (t) => gives(platinum(), t) - 1 }],
    });
    expect(diagnosis.suspicions[0]).toMatchObject({ fault: "unequal-leads" });
  });

  it("a leak of 100 kΩ is −0.26 K at 0 °C and −1.26 K at 300 °C (computed); one of 10 kΩ is named, and is about so large", () => {
    const leaking = (kiloohm: number) => (t: number) => {
      const element = gives(platinum(), t);
      return (element * 1000 * kiloohm) / (element + 1000 * kiloohm);
    };
    expect(shown(platinum(), leaking(100)(0))).toBeCloseTo(-0.26, 1);
    expect(shown(platinum(), leaking(100)(300)) - 300).toBeCloseTo(-1.26, 2);
    const [first] = firstOf({
      points: [0, 100, 200, 300],
      items: [{ sensor: platinum(), signal: leaking(10) }],
    }).suspicions;
    expect(first).toMatchObject({ fault: "shunt" });
    expect(first!.figures[0]!.value).toBeGreaterThan(7);
    expect(first!.figures[0]!.value).toBeLessThan(14);
  });

  it("a shift of R0 grows with the resistance: 1.43 times at 100 °C, 2.3 at 300 °C, 3.8 at 600 °C (computed)", () => {
    const error = (t: number) => shown(platinum(), gives(platinum(), t) * 1.001) - t;
    for (const [temperature, times] of [
      [100, 1.43],
      [300, 2.33],
      [600, 3.8],
    ] as const)
      expect(error(temperature) / error(0)).toBeCloseTo(times, 1);
    const diagnosis = firstOf({
      points: [0, 100, 200, 300],
      items: [{ sensor: platinum(), signal: (t) => gives(platinum(), t) * 1.015 }],
    });
    expect(diagnosis.suspicions[0]).toMatchObject({ fault: "resistance-shift" });
  });

  it("a Pt1000 for a Pt100 and the other way round, from signals that give no temperature", () => {
    expect(shown(platinum(100), gives(platinum(1000), 25))).toBeNaN();
    // 110 Ω is less than a Pt1000 has at −200 °C.
    expect(shown(platinum(1000), gives(platinum(100), 25))).toBeNaN();
    for (const [set, really] of [
      [100, 1000],
      [1000, 100],
    ] as const) {
      const [first] = firstOf({
        points: [25],
        items: [{ sensor: platinum(set), signal: (t) => gives(platinum(really), t) }],
      }).suspicions;
      expect(first).toMatchObject({ fault: "wrong-nominal", variant: `${really} Ω at 0 °C` });
    }
  });
});

describe("heat along the stem [D10]", () => {
  it("hot reads low, cold reads high, nothing at ambient: told from a shift and from a span", () => {
    for (const sensor of [typeOf("K"), platinum()]) {
      const [first] = firstOf({
        points: [-30, 23, 100, 200, 300],
        items: [{ sensor, signal: (t) => gives(sensor, t - 0.06 * (t - 23)) }],
      }).suspicions;
      expect(first).toMatchObject({ fault: "immersion" });
      expect(first!.figures[0]!.value).toBeGreaterThan(4);
      expect(first!.figures[0]!.value).toBeLessThan(8);
    }
  });
});

describe("transmitters [D11]", () => {
  const sensor: Sensor = { kind: "loop", lower: 0, upper: 150 };
  const held = (current: number): number => Math.min(20.5, Math.max(3.8, current));
  const named = (signal: (t: number) => number, points = [5, 40, 75, 110, 145]) =>
    firstOf({ points, items: [{ sensor, signal: (t) => signal(t) }] });

  it("a wrong range is found with its ends, also where the current stays at the end of its signal (NE 43)", () => {
    for (const [lower, upper] of [
      [0, 200],
      [0, 100],
      [-50, 150],
    ] as const) {
      const diagnosis = named((t) => held(4 + (16 * (t - lower)) / (upper - lower)));
      expect(diagnosis.suspicions[0]).toMatchObject({ fault: "wrong-range", variant: `${lower} °C to ${upper} °C` });
    }
    const [fahrenheit] = named((t) => held(4 + (16 * (1.8 * t + 32)) / 150)).suspicions;
    expect(fahrenheit).toMatchObject({ fault: "wrong-range", variant: "0 to 150 read as °F" });
  });

  it("a shift, a span and a share that leaks away from the meter are told apart over the whole range", () => {
    expect(named((t) => 4 + (16 * (t + 4)) / 150).suspicions[0]).toMatchObject({ fault: "zero-shift" });
    expect(named((t) => 4 + (16 * t * 1.045) / 150).suspicions[0]).toMatchObject({ fault: "span-error" });
    expect(named((t) => (4 + (16 * t) / 150) * 0.96).suspicions[0]).toMatchObject({ fault: "shunt" });
  });

  it("failure currents of NE 43 on either side, and a loop without current", () => {
    expect(named(() => 3.5).suspicions[0]).toMatchObject({ fault: "failure-signal", variant: "low" });
    expect(named(() => 21.7).suspicions[0]).toMatchObject({ fault: "failure-signal", variant: "high" });
    expect(named(() => 0.002).suspicions[0]).toMatchObject({ fault: "open-circuit" });
  });
});

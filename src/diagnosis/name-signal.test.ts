import { describe, expect, it } from "vitest";
import { createSettling, defaultSettling, observe } from "#settling";
import { temperatureOf } from "#thermometry";
import { isSaturated, nameObstacle, nameSaturation, nameSignal } from "#diagnosis";

const faultOf = (current: number) => {
  const outcome = temperatureOf({ kind: "loop", lower: 0, upper: 150 }, current);
  if (outcome.ok) throw new Error("expected a fault");
  return outcome.fault;
};

describe("a signal that gives no temperature, in words of the bench [D23]", () => {
  it("an overload is an open circuit, with what to check", () => {
    const finding = nameSignal("TT-101", { code: "signal.open-circuit", message: "overload" });
    expect(finding).toMatchObject({ code: "signal.open-circuit" });
    expect(finding.message).toContain("The circuit of TT-101 is open");
    expect(finding.message).toContain("Check the plug and the terminals");
  });

  it.each([3.5, 21.5])("%d mA is the transmitter's own failure signal (NAMUR NE 43, from memory)", (current) => {
    const finding = nameSignal("TT-101", faultOf(current));
    expect(finding.code).toBe("loop.failure-signal");
    expect(finding.message).toContain(`${current} mA`);
  });

  it("a current that no state of the loop explains is out of range, and says what to look at", () => {
    const finding = nameSignal("TT-101", faultOf(3.7));
    expect(finding.code).toBe("signal.out-of-range");
    expect(finding.message).toContain("Check that the sensor type in the job is the one in the source");
  });
});

describe("a transmitter at the end of its signal", () => {
  it.each([3.8, 3.79, 20.5, 20.51])(
    "%d mA is the end of the signal (NAMUR NE 43, from memory), the readout's error allowed for",
    (current) => {
      expect(isSaturated(current)).toBe(true);
    },
  );

  it.each([3.6, 3.7, 4, 12, 20, 21])("%d mA is not", (current) => {
    expect(isSaturated(current)).toBe(false);
  });

  it("is named with the temperature at which the source rests", () => {
    expect(nameSaturation("TT-101", 20.5, 180)).toMatchObject({ code: "signal.out-of-range" });
    expect(nameSaturation("TT-101", 20.5, 180).message).toContain(
      "stays at 20.50 mA, the end of its signal (NAMUR NE 43), although the source rests at 180.0 °C",
    );
  });
});

describe("what keeps an item from being ready", () => {
  const settled = (item: (time: number) => number) => {
    let state = createSettling({ ...defaultSettling, target: 0.05 });
    for (let time = 0; time < 400; time += 2) state = observe(state, { time, reference: 100, item: item(time) });
    return state.latest;
  };

  it("names the largest term and a test of two minutes", () => {
    expect(
      nameObstacle(
        "TT-101",
        settled((time) => 100 - 5 * Math.exp(-time / 120)),
      ),
    ).toContain("TT-101 still trails the reference");
    expect(
      nameObstacle(
        "TT-101",
        settled((time) => 100 + (((time * 7919) % 97) - 48) / 30),
      ),
    ).toContain("Switch the heater off for a minute");
    expect(nameObstacle("TT-101", null)).toBe("There are too few readings yet.");
  });
});

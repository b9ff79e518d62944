import { describe, expect, it } from "vitest";
import { evaluate, type JobInput, type MeasuredPoint, type RunEvent } from "#calibration";
import { conductAnalytic, inventedJob } from "./analytic-bench.test-support.ts";

const by = "Ines Holloway";
const procedure: Partial<JobInput["procedure"]> = {
  passes: ["as-found", "as-left"],
  points: [0, 50, 100, 150].map((temperature) => ({ temperature })),
  adjustment: {
    kind: "new-coefficients",
    model: "callendar-van-dusen",
    adjustAbove: 0.5,
    authorisedBy: "Tomas Brandvold",
  },
};
const confirm = {
  when: ({ stage, adjustment }: { stage: string; adjustment: unknown }) => stage === "adjusting" && adjustment !== null,
  command: { command: "confirm-adjustment", by },
} as const;
const errors = (log: readonly RunEvent[], pass: number) =>
  evaluate(log).items[0]!.passes[pass]!.points.map((point) => (point as MeasuredPoint).error.value);

describe("new coefficients", () => {
  it("of a bare sensor come from as found, wait for a person, and as left proves them [E27]", async () => {
    const job = inventedJob({ procedure });
    // A probe whose R0 is high by 0.15 Ω and whose A is a little off, as a temperature.
    const item = (temperature: number): number => temperature + 0.38 + 0.0008 * temperature;
    const { log } = await conductAnalytic(job, { item }, [confirm]);
    const loaded = log.find((event) => event.kind === "coefficients-loaded")!;
    expect(loaded).toMatchObject({ item: "item-a", by, sensor: { kind: "platinum", equation: "callendar-van-dusen" } });
    expect(Math.max(...errors(log, 0).map(Math.abs))).toBeGreaterThan(0.35);
    expect(Math.max(...errors(log, 1).map(Math.abs))).toBeLessThan(0.02);
    // As found was not touched: its signals are still converted with the coefficients that it had.
    expect(errors(log, 0)[0]).toBeCloseTo(0.38, 2);
    expect(evaluate(log).items[0]!.loaded).toMatchObject({ sensor: loaded.sensor });
    const note = log.find((event) => event.kind === "note-added" && event.text.includes("Forecast:"))!;
    expect(note).toMatchObject({
      text: expect.stringMatching(/r0 = 100\.\d+ Ω.*Forecast: 0 °C \+0\.38\d → .*± 0\.\d+ K/s),
    });
  });

  it("of a transmitter are worked out through those that it holds [E27]", async () => {
    const nominal = {
      kind: "platinum",
      equation: "callendar-van-dusen",
      r0: 100,
      a: 3.9083e-3,
      b: -5.775e-7,
      c: -4.183e-12,
    } as const;
    const job = inventedJob({
      procedure,
      item: { sensor: { kind: "loop", lower: -20, upper: 180, inner: nominal }, unit: "mA" },
    });
    let loaded = false;
    const wrong = (temperature: number): number => temperature + 0.4;
    const item = (temperature: number): number => (loaded ? temperature : wrong(temperature));
    const { log } = await conductAnalytic(job, { item }, [
      {
        when: (view) => {
          loaded ||= confirm.when(view);
          return confirm.when(view);
        },
        command: confirm.command,
      },
    ]);
    const event = log.find((each) => each.kind === "coefficients-loaded")!;
    // 0.4 K high at 0 °C: the probe gives 0.156 Ω more than the transmitter believes (0.3908 Ω/K, IEC 60751).
    expect(event.sensor).toMatchObject({ kind: "loop", inner: { r0: expect.closeTo(100.156, 2) } });
    expect(Math.max(...errors(log, 1).map(Math.abs))).toBeLessThan(0.02);
  });

  it("are left alone where the shift is within its own uncertainty, and as found is locked once they are loaded [E9, E27]", async () => {
    const job = inventedJob({
      procedure: { ...procedure, adjustment: { ...procedure.adjustment!, adjustAbove: 0.05 } },
      item: { tolerance: { kelvin: 0.5 }, contributions: { stemConduction: 0.2 } },
    });
    const { log } = await conductAnalytic(job, { item: (temperature) => temperature + 0.06 });
    expect(log.some(({ kind }) => kind === "coefficients-loaded")).toBe(false);
    expect(log.find((event) => event.kind === "note-added" && event.text.includes("chase noise"))).toBeDefined();
    const taken = await conductAnalytic(inventedJob({ procedure }), { item: (temperature) => temperature + 0.4 }, [
      confirm,
      {
        when: ({ pass }) => pass === "as-left",
        command: { command: "repeat-point", by, reason: "r", pass: "as-found", point: 0 },
      },
    ]);
    expect(taken.answers[1]).toMatchObject({ ok: false, fault: { code: "run.not-allowed" } });
  });
});

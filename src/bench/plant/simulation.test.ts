import { expect, it } from "vitest";
import { planBench } from "./bench-plan.ts";
import { channels } from "./plant.test-support.ts";
import { simulationSchema } from "./simulation.ts";
import type { StatedKit } from "./stated-kit.ts";

const kit: StatedKit = {
  reference: {
    sensor: {
      kind: "platinum",
      equation: "its-90",
      rtpw: 25.4961,
      coefficients: [{ subrange: 7, a: -1e-4, b: 0, c: 0 }],
    },
    channel: "reference",
    calibration: { date: "2026-01-01", uncertainty: 0.02, k: 2 },
    driftPerYear: 0.01,
    interpolation: 0,
    selfHeating: 0,
  },
  readout: { accuracy: [] },
  source: {
    class: "bath",
    range: { minimum: -30, maximum: 150 },
    stability: 0.01,
    axial: 0.01,
    radial: 0.01,
    loading: 0,
  },
};

const planned = (simulation: object, options: { kit?: StatedKit; day?: string } = {}) =>
  planBench({
    simulation: simulationSchema.parse(simulation),
    channels,
    sources: ["block"],
    seed: 1,
    startAt: 0,
    ...options,
  });

it("nothing said: a dry block at ambient, sensors that suit the channels' units", () => {
  const plan = planned({ items: { "item-1": {} } });
  expect(plan).toMatchObject({
    start: 23,
    years: 0.5,
    kit: { source: { class: "dry-block" } },
    reference: { channel: "reference", sensor: { kind: "platinum", r0: 100 } },
    items: [{ id: "item-1", sensor: { kind: "thermocouple", type: "K" } }],
    junctionChannel: "junction",
  });
});

it("what the job says of its kit is taken over, and what the simulation says comes before it", () => {
  expect(planned({}, { kit, day: "2026-07-02" })).toMatchObject({
    reference: { sensor: { rtpw: 25.4961 }, probe: { lags: [5, 1.2] } },
    years: 182 / 365.25,
    roughnessFromKit: true,
  });
  expect(planned({ source: { class: "furnace", heating: 100, oscillation: 0.5 } }, { kit })).toMatchObject({
    source: { heating: 100, oscillation: 0.5, cooling: 0 },
    reference: { probe: { lags: [35, 8] } },
    roughnessFromKit: false,
  });
});

it.each([
  [{ source: { klass: "bath" } }, "source"],
  [{ items: { "item-1": { looseFit: { share: 2, lag: 300 } } } }, "items.item-1.looseFit.share"],
  [{ faults: [{ kind: "open-circuit" }] }, "faults.0.channel"],
  [{ faults: [{ kind: "lead-resistance", channel: "item-1", ohm: -1 }] }, "faults.0.ohm"],
  [{ ambient: "warm" }, "ambient"],
])("%j is refused at its place", (simulation, place) => {
  const parsed = simulationSchema.safeParse(simulation);
  expect(parsed.error?.issues.map(({ path }) => path.join("."))).toEqual([place]);
});

import { describe, expect, it } from "vitest";
import { placesOf } from "./places.ts";

const said = {
  axial: [
    { height: 20, difference: -0.06 },
    { height: 40, difference: -0.15 },
  ],
  wells: { "2": 0.03 },
  loading: -0.04,
  depth: 150,
  stem: { share: 2e-4, length: 14 },
  selfHeating: 0.06,
};

describe("places of a source that are to be found", () => {
  it("begins at the bottom of the first well, empty, and keeps what is not said anew", () => {
    const places = placesOf(said);
    expect(places.offset()).toBe(0);
    places.arrange({ well: "2" });
    expect(places.offset()).toBeCloseTo(0.03, 12);
    places.arrange({ loaded: true });
    expect(places.offset()).toBeCloseTo(-0.01, 12);
  });

  it("is linear between the heights that are given, and drawing out is a height", () => {
    const places = placesOf(said);
    places.arrange({ height: 30 });
    expect(places.offset()).toBeCloseTo(-0.105, 12);
    places.arrange({ height: 60 });
    expect(places.offset()).toBeCloseTo(-0.15, 12);
    const drawn = placesOf(said);
    drawn.arrange({ depth: 130 });
    expect(drawn.offset()).toBeCloseTo(-0.06, 12);
  });

  it("loses along the stem a share of the difference to the surroundings, e-fold more for each length drawn out", () => {
    const places = placesOf(said);
    expect(places.lost(300, 23)).toBeCloseTo(2e-4 * 277, 12);
    places.arrange({ depth: 136 });
    expect(places.lost(300, 23)).toBeCloseTo(2e-4 * 277 * Math.E, 12);
    expect(places.lost(23, 23)).toBe(0);
  });

  it("warms the reference by its current squared, and not at all where no current was set", () => {
    const places = placesOf(said);
    expect(places.heating(100)).toBe(0);
    places.arrange({ current: 2 });
    expect(places.heating(100)).toBeCloseTo(0.06 * 0.4, 12);
  });

  it("is nothing at all where nothing is said", () => {
    const places = placesOf(undefined);
    places.arrange({ height: 40, well: "2", loaded: true, current: 5 });
    expect([places.offset(), places.lost(300, 23), places.heating(100)]).toEqual([0, 0, 0]);
  });
});

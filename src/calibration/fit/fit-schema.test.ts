import { describe, expect, it } from "vitest";
import { fitInputSchema } from "./fit-schema.ts";

describe("what a fit is asked for, as JSON", () => {
  it.each([
    [{ model: "polynomial", degree: 2, points: [{ x: 0, y: 1 }] }],
    [
      {
        model: "its-90",
        subrange: 7,
        rtpw: 25.5,
        points: [{ x: 0, y: 1, u: 0.1, common: 0.2 }],
        common: { x: 0.1, y: 0.2 },
      },
    ],
    [{ model: "thermocouple-deviation", type: "K", degree: 1, points: [] }],
    [{ model: "callendar-van-dusen", points: [], common: {} }],
  ])("is kept as it was written: %j", (input) => expect(fitInputSchema.parse(input)).toEqual(input));

  it.each([
    [{ model: "spline", points: [] }],
    [{ model: "polynomial" }],
    [{ model: "polynomial", points: [{ x: 0 }] }],
    [{ model: "polynomial", points: [{ x: 0, y: "1" }] }],
    [{ model: "polynomial", points: [{ x: 0, y: 1, w: 1 }] }],
    [{ model: "polynomial", points: [], common: { z: 1 } }],
    [{ model: "polynomial", points: [], order: 2 }],
    [{ model: "thermocouple-deviation", type: "Q", points: [] }],
  ])("may not be %j", (input) => expect(fitInputSchema.safeParse(input).success).toBe(false));
});

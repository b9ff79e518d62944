import { describe, expect, it } from "vitest";
import { inventedJob } from "../evaluate/invented-run.test-support.ts";
import { plannedPoints } from "./planned-points.ts";
import type { Procedure } from "./procedure.ts";

const planned = (temperatures: readonly number[], change: Partial<Procedure> = {}): readonly number[] =>
  plannedPoints({
    ...inventedJob().procedure,
    points: temperatures.map((temperature) => ({ temperature })),
    ...change,
  }).map(({ temperature }) => temperature);
const firstPoint = { kind: "first-point", limit: 0.1 } as const;

describe("the points of a pass as they are planned", () => {
  it.each<[string, readonly number[], Partial<Procedure>, readonly number[]]>([
    ["as they are written", [0, 100], {}, [0, 100]],
    ["the first not once more where that is denied", [0, 100], { repeatFirst: false }, [0, 100]],
    ["the first once more where that is asked", [0, 100], { repeatFirst: true }, [0, 100, 0]],
    ["the first once more for the closing check there", [0, 100], { closingCheck: firstPoint }, [0, 100, 0]],
    [
      "the first not once more for a check elsewhere",
      [0, 100],
      { closingCheck: { kind: "ice-point", halfWidth: 0.01, limit: 0.1 } },
      [0, 100],
    ],
    ["no third time where the list ends there", [0, 100, 0], { repeatFirst: true }, [0, 100, 0]],
    ["not twice where there is one alone", [50], { repeatFirst: true }, [50]],
    ["none of none", [], { repeatFirst: true }, []],
  ])("%s", (_, temperatures, change, expected) => expect(planned(temperatures, change)).toEqual(expected));

  it("the repeated one has neither direction nor sweep of its own", () => {
    const points = [{ temperature: 0, direction: "rising" as const }, { temperature: 100 }];
    expect(plannedPoints({ ...inventedJob().procedure, points, repeatFirst: true }).at(-1)).toEqual({ temperature: 0 });
  });
});

import { describe, expect, it } from "vitest";
import { upkeepDocumentSchema, type UpkeepDocument } from "../document/document.ts";
import { ohmsAt, callendar, standardPlatinumEntry } from "../planted-bench.test-support.ts";
import { earlierChecks } from "./earlier-checks.ts";

const check = (at: string, over: object = {}): UpkeepDocument => {
  const time = Array.from({ length: 121 }, (_, index) => index * 5);
  return upkeepDocumentSchema.parse({
    upkeep: 1,
    kind: "reference-check",
    at,
    by: "Maren Oakshott",
    reference: standardPlatinumEntry(),
    point: "ice-point",
    readings: { time, signal: time.map(() => ohmsAt(callendar, 0)) },
    ...over,
  });
};

describe("earlier checks for a chart", () => {
  const newest = { point: "ice-point" as const, at: "2026-07-01T08:00:00Z", rehearsal: false };
  const at = (documents: readonly UpkeepDocument[]) => earlierChecks(documents, newest).map((each) => each.at);

  it("[K20] are those of the same point before it, oldest first", () => {
    const [june, may] = [check("2026-06-01T08:00:00Z"), check("2026-05-01T08:00:00Z")];
    expect(
      at([june, may, check("2026-08-01T08:00:00Z"), check("2026-04-01T08:00:00Z", { point: "water-triple-point" })]),
    ).toEqual(["2026-05-01T08:00:00Z", "2026-06-01T08:00:00Z"]);
  });

  it("[K20] leave out what was made on a simulated bench, and what never came to rest", () => {
    const moving = { time: [0, 5, 10], signal: [105, 104, 103] };
    expect(
      at([check("2026-06-01T08:00:00Z", { rehearsal: true }), check("2026-06-02T08:00:00Z", { readings: moving })]),
    ).toEqual([]);
  });
});

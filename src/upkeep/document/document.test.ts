import { describe, expect, it } from "vitest";
import { callendar, displayThermometer, sourceEntry, standardPlatinumEntry } from "../planted-bench.test-support.ts";
import { upkeepDocumentSchema } from "./document.ts";

const readings = { time: [0, 5, 10], fixed: [100, 100, 100], moved: [100, 100, 100] };
const document = {
  upkeep: 1,
  kind: "characterisation",
  at: "2026-11-25T08:00:00Z",
  by: "Ines Halloran",
  source: sourceEntry,
  fixed: displayThermometer("check-1"),
  moved: displayThermometer("thin-1"),
  visits: [{ part: "axial", temperature: 100, readings }],
};

const complaints = (over: object): string[] => {
  const parsed = upkeepDocumentSchema.safeParse({ ...document, ...over });
  return parsed.success ? [] : parsed.error.issues.map(({ path, message }) => `${path.join(".")}: ${message}`);
};

describe("a document of upkeep", () => {
  it("is refused with the place where columns are not of one length, or times do not rise", () => {
    expect(complaints({})).toEqual([]);
    const visit = (over: object) => ({
      visits: [{ part: "axial", temperature: 100, readings: { ...readings, ...over } }],
    });
    expect(complaints(visit({ moved: [100, 100] }))[0]).toMatch(
      /^visits\.0\.readings\.moved: .*3 times and 2 readings/,
    );
    expect(complaints(visit({ time: [0, 10, 10] }))[0]).toContain("visits.0.readings.time.2: times must rise");
  });

  it("is refused where a thermometer is read in another unit than its sensor has", () => {
    expect(complaints({ fixed: { id: "check-1", sensor: callendar, unit: "°C" } })[0]).toContain("read in Ω");
    expect(complaints({ fixed: { id: "check-1", sensor: { ...callendar, r0: -1 }, unit: "Ω" } })[0]).toMatch(
      /^fixed\.sensor/,
    );
  });

  it("takes a reference without a channel, as the records keep it", () => {
    const parsed = upkeepDocumentSchema.safeParse({
      upkeep: 1,
      kind: "self-heating",
      at: "2026-11-25T08:00:00Z",
      by: "Ines Halloran",
      reference: standardPlatinumEntry(),
      medium: "bath",
      temperature: 0,
      current: 1,
      visits: [{ current: 1, readings: { time: [0, 5], signal: [100, 100] } }],
    });
    expect(parsed.success).toBe(true);
  });
});

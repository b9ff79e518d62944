import { describe, expect, it } from "vitest";
import { displayThermometer, sourceEntry, standardPlatinumEntry } from "../planted-bench.test-support.ts";
import { documentOf } from "./document-of.ts";
import { upkeepPlanSchema, type UpkeepPlan } from "./plan.ts";
import { stepsOf } from "./steps-of.ts";

const base = { upkeep: 1, by: "Ines Halloran" };
const pair = { fixed: displayThermometer("check-1"), moved: displayThermometer("thin-1") };

const characterisation = (over: object = {}): UpkeepPlan =>
  upkeepPlanSchema.parse({
    ...base,
    ...pair,
    kind: "characterisation",
    source: sourceEntry,
    procedure: { temperatures: [350, 100], wells: ["1", "2"], loading: true, hysteresis: true, ...over },
  });

const kinds: readonly (readonly [string, UpkeepPlan])[] = [
  ["characterisation, cold", characterisation()],
  ["characterisation, by the site's rules", characterisation({ move: "by-site-rules" })],
  [
    "pull test",
    upkeepPlanSchema.parse({
      ...base,
      ...pair,
      kind: "pull-test",
      temperature: 300,
      procedure: { depths: [110, 150, 130] },
    }),
  ],
  [
    "two currents",
    upkeepPlanSchema.parse({
      ...base,
      kind: "self-heating",
      reference: standardPlatinumEntry(),
      medium: "dry block",
      temperature: 60,
      current: 1,
      procedure: { currents: [1, 1.4142] },
    }),
  ],
  [
    "ice point",
    upkeepPlanSchema.parse({
      ...base,
      kind: "reference-check",
      reference: standardPlatinumEntry(),
      point: "ice-point",
      procedure: {},
    }),
  ],
];

describe("guided steps", () => {
  it.each(kinds)("[K25] %s: cautions come before anything is heated or moved", (_name, plan) => {
    const steps = stepsOf(plan);
    expect(steps[0]!.do).toBe("caution");
    expect(steps.every((step) => step.do !== "arrange" || step.caution.length > 20)).toBe(true);
  });

  it("[K25] cold: nothing is moved unless it was cooled below 50 °C since it was heated", () => {
    let hot = false;
    const movedHot = stepsOf(characterisation()).filter((step) => {
      if (step.do === "set") hot = step.temperature > 50;
      if (step.do === "cool" || step.do === "off") hot = false;
      return step.do === "arrange" && hot;
    });
    expect(movedHot).toEqual([]);
  });

  it("[K25] by the site's rules: the step itself says that hot probes are not moved by hand", () => {
    const arranged = stepsOf(characterisation({ move: "by-site-rules" })).filter((step) => step.do === "arrange");
    expect(arranged.at(-1)).toMatchObject({ caution: expect.stringContaining("below 50 °C") });
  });

  it("[K2] every place is come back to: heights, wells and loading there and back again", () => {
    const visits = stepsOf(characterisation({ move: "by-site-rules" })).flatMap((step) =>
      step.do === "read" && step.visit["temperature"] === 100 ? [step.visit] : [],
    );
    const of = (part: string, field: string) =>
      visits.filter((visit) => visit["part"] === part).map((visit) => visit[field]);
    expect(of("axial", "height")).toEqual([0, 20, 40, 20, 0]);
    expect(of("radial", "well")).toEqual(["1", "2", "1"]);
    expect(of("loading", "loaded")).toEqual([false, true, false]);
    expect(of("hysteresis", "direction")).toEqual(["rising", "falling"]);
  });

  it("a pull test begins at full depth and ends there", () => {
    const depths = stepsOf(kinds[2]![1]).flatMap((step) => (step.do === "read" ? [step.visit["depth"]] : []));
    expect(depths).toEqual([150, 130, 110, 130, 150]);
  });

  it("what was read becomes the document", () => {
    const readings = { time: [0, 5, 10], signal: [100, 100, 100] };
    const made = documentOf(kinds[4]![1], {
      at: "2026-11-25T08:00:00Z",
      rehearsal: true,
      visits: [{ visit: {}, readings }],
    });
    expect(made).toMatchObject({ ok: true, value: { kind: "reference-check", rehearsal: true, readings } });
    const broken = documentOf(kinds[4]![1], { at: "2026-11-25T08:00:00Z", rehearsal: true, visits: [] });
    expect(broken.ok).toBe(false);
  });
});

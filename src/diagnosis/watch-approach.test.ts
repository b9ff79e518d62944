import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { extendTrack, watchApproach, type ApproachTrack, type Finding } from "#diagnosis";
import { conditions, inventedApproach, type Condition } from "./invented-approach.test-support.ts";

const runs = 300;

/** The first finding of an approach, if any. */
const firstFinding = (condition: Condition, seed: number): Finding | null => {
  const { item, tracks } = inventedApproach(condition, seed);
  for (const track of tracks) {
    const [finding] = watchApproach(track, item);
    if (finding !== undefined) return finding;
  }
  return null;
};

const called: Readonly<Record<Condition, string>> = {
  healthy: "nothing",
  reversed: "signal.reversed",
  stuck: "signal.stuck",
};

describe("faults named during the approach (invented physics, seeds 1 to 300)", () => {
  it.each(conditions)("%s: confusion over 300 approaches", (condition) => {
    const names = Array.from({ length: runs }, (_, index) => firstFinding(condition, index + 1)?.code ?? "nothing");
    const table = [...new Set(names)]
      .map((name) => `${name} ${names.filter((each) => each === name).length}`)
      .join(", ");
    process.stdout.write(`${condition}: ${table}\n`);
    const right = names.filter((name) => name === called[condition]).length / runs;
    // A healthy item is not accused; of real faults a few are left to the evaluation: those whose approach is too short to tell.
    expect(right).toBeGreaterThanOrEqual(condition === "healthy" ? 0.997 : 0.97);
    const wrongFault = names.filter((name) => name !== "nothing" && name !== called[condition]);
    expect(wrongFault).toEqual([]);
  });

  it("says which way, how far, how sure, and what to do", () => {
    const finding = firstFinding("reversed", 1)!;
    expect(finding.message).toMatch(
      /^TT-101 moves the wrong way: the reference (rose|fell) by \d+ K and the item went \d+ K the other way\. Its two wires are probably exchanged/,
    );
    expect(finding.confidence).toBeGreaterThan(0.75);
    expect(finding.confidence).toBeLessThanOrEqual(0.99);
  });

  it("a thick probe still rising while the source has turned down is not called reversed [D21]", () => {
    let item = 155;
    let reference = 200;
    let track: ApproachTrack | undefined;
    for (let time = 0; time < 900; time += 2) {
      reference = Math.max(40, reference - 0.4);
      item += ((reference - item) * 2) / 150;
      track = extendTrack(track, { time, reference, item, signal: item });
      expect(watchApproach(track, { tag: "TT-101", thermocouple: true, loop: false })).toEqual([]);
    }
  });

  it("wild noise is not called reversed, however it happens to fall", () => {
    for (let seed = 1; seed <= 200; seed += 1) {
      const noise = seededGenerator(seed);
      let track: ApproachTrack | undefined;
      for (let time = 0; time < 200; time += 2) {
        track = extendTrack(track, { time, reference: 20 + 0.2 * time, item: 20 + 15 * noise.normal(), signal: time });
        expect(watchApproach(track, { tag: "TT-101", thermocouple: true, loop: false })).toEqual([]);
      }
    }
  });

  it("a transmitter at the end of its range is not called stuck; the same current inside the range is [D22]", () => {
    const watchedAt = (signal: number): readonly Finding[] => {
      let track: ApproachTrack | undefined;
      for (let time = 0; time < 200; time += 2)
        track = extendTrack(track, { time, reference: 20 + 0.2 * time, item: 48.75, signal });
      return watchApproach(track!, { tag: "TT-101", thermocouple: false, loop: true });
    };
    expect(watchedAt(3.8)).toEqual([]);
    expect(watchedAt(20.51)).toEqual([]);
    expect(watchedAt(12.4)).toMatchObject([{ code: "signal.stuck" }]);
  });
});

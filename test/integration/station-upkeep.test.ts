import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { StationRefusal } from "#contract";
import { openRecords } from "#records";
import { reference } from "../../src/intake/identity/fixtures/entries.test-support.ts";
import { removeScratch, scratch } from "./program.test-support.ts";
import { startStation, type StartedStation } from "./station.test-support.ts";

let station: StartedStation;
let id: string;

beforeAll(async () => {
  const data = join(await scratch(), "data");
  const records = await openRecords(data);
  const { revision: _, ...entry } = reference().entry;
  id = entry.id;
  await records.reviseKit({ kind: "reference", entry, author: "Orla Penhallow (demo)", reason: "first" });
  await records.close();
  station = await startStation(data);
});
afterAll(async () => {
  await station.stop();
  await removeScratch();
});

/** Ice readings of the fixture's reference, `shift` K off, every 5 s for ten minutes. */
const inIce = (at: string, resistance: number, shift: number) => {
  const time = Array.from({ length: 121 }, (_, index) => index * 5);
  return {
    kind: "reference-check" as const,
    by: "Orla Penhallow (demo)",
    at,
    stays: [
      {
        stay: 0,
        readings: { time, signal: time.map((second) => resistance + 0.39 * (shift + 0.0002 * Math.sin(second))) },
      },
    ],
  };
};

const iceResistance = (): number => {
  const { sensor } = reference().entry;
  if (sensor.kind !== "platinum") throw new Error("another reference");
  return sensor.equation === "its-90" ? sensor.rtpw * 0.999_960_1 : sensor.r0;
};

describe("tests of a kit entry at the station", () => {
  it("guides through each test of a reference, with the caution at its step", async () => {
    const upkeep = await station.client.kitUpkeep(id);
    expect(upkeep.tests.map(({ kind }) => kind)).toEqual(["pull-test", "self-heating", "reference-check"]);
    const [pull] = upkeep.tests;
    const moves = pull!.steps.filter(({ text }) => text.startsWith("Put the thermometer"));
    expect(moves).toHaveLength(5);
    for (const { caution } of moves) expect(caution).toContain("below 50 °C");
    expect(upkeep).toMatchObject({ findings: [], charts: [], entry: { id, revision: 1 } });
  });

  it("tries typed readings without recording them, keeps them, and charts them", async () => {
    const typed = inIce("2026-06-01T08:00:00Z", iceResistance(), 0.001);
    const tried = await station.client.tryUpkeep(id, typed);
    expect(tried.number).toBeNull();
    expect((await station.client.kitUpkeep(id)).findings).toEqual([]);
    for (let day = 1; day <= 9; day += 1)
      await station.client.keepUpkeep(id, inIce(`2026-06-0${day}T08:00:00Z`, iceResistance(), 0.0005 * (day % 3)));
    const kept = await station.client.keepUpkeep(id, inIce("2026-06-10T08:00:00Z", iceResistance(), 0.03));
    expect(kept.findings).toHaveLength(10);
    expect(kept.findings[0]!.everywhere.length).toBeGreaterThan(4);
    expect(kept.charts[0]!.chart.points).toHaveLength(10);
    expect(kept.charts[0]!.chart.points.at(-1)!.signals).toContain("beyond-action");
    expect(kept.findings[0]!.verdict).not.toBe("go-on");
  });

  it("approves what a test found, once, into the next revision", async () => {
    const [newest] = (await station.client.kitUpkeep(id)).findings;
    const approved = await station.client.approveUpkeep(id, newest!.number!, {
      by: "Idris Farrowby (demo)",
      reason: "W held at a second point",
    });
    expect(approved.entry.revision).toBe(2);
    expect(approved.findings[0]!.approved).toBe(2);
    const detail = await station.client.kitEntry(id);
    expect(detail.revisions[0]!.reason).toContain(`finding ${newest!.number}`);
  });

  it("refuses what does not suffice, and says what is missing", async () => {
    const short = { ...inIce("2026-06-11T08:00:00Z", iceResistance(), 0), kind: "pull-test" as const };
    const refusal = station.client.tryUpkeep(id, short);
    await expect(refusal).rejects.toBeInstanceOf(StationRefusal);
    await expect(station.client.kitUpkeep("nothing-there")).rejects.toThrow("no entry");
    await expect(station.client.approveUpkeep(id, 999, { by: "Orla", reason: "x" })).rejects.toThrow("no finding 999");
  });
});

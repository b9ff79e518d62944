import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Job } from "#calibration";
import { unwrap } from "#fault";
import { loadJob } from "../job/load-job.ts";
import { mappingOf, usesOf } from "./column-uses.ts";
import { readCsvSheet } from "./csv-table.ts";
import { proposeUses } from "./propose-uses.ts";

const root = new URL("../../../", import.meta.url);
const jobOf = (path: string): Job => unwrap(loadJob(readFileSync(new URL(path, root), "utf8"), "job.yaml"));
const job = jobOf("examples/recorded-elsewhere/job.yaml");
const thermocouple = jobOf("examples/type-k-thermocouple.yaml");

const sheet = (...lines: string[]) => unwrap(readCsvSheet(lines.join("\n"), "r.csv"));
const proposed = (of: Job, ...lines: string[]) => {
  const { uses, ...rest } = proposeUses(sheet(...lines), of, "+02:00");
  return { ...rest, uses: Object.fromEntries(uses.map(({ column, use }) => [column, use])) };
};

describe("what columns probably mean", () => {
  it.each([
    ["the job's own names", "time,reference,item-1", "0,100,100.1"],
    ["tags, whatever their signs and case", "Time (s),Ref (Ohm),tt221", "0,100,100.1"],
    ["serial numbers", `elapsed,${job.kit.reference.serial},0042911`, "0,100,100.1"],
    ["a word beside others", "t,PRT ref,Probe TT-221 [Ω]", "0,100,100.1"],
  ])("by %s", (_, names, row) => {
    expect(proposeUses(sheet(names, row, row), job, null).uses.map(({ use }) => use)).toEqual([
      "time",
      "channel:reference",
      "channel:item-1",
    ]);
  });

  it("a column that says another unit is not taken for the channel", () => {
    const { uses } = proposed(job, "time,reference (mV),TT-221 [Ohm]", "0,100,100.1");
    expect(uses).toEqual({ time: "time", "reference (mV)": "none", "TT-221 [Ohm]": "channel:item-1" });
  });

  it("a unit from which only the point is moved is taken with it", () => {
    const { uses } = proposeUses(sheet("time,reference (kOhm),TT-221", "0,0.1,100.1"), job, null);
    expect(uses[1]).toEqual({ column: "reference (kOhm)", use: "channel:reference", unit: "kOhm" });
  });

  it("no channel is taken twice", () => {
    const { uses } = proposed(job, "time,TT-221,TT-221 spare,reference", "0,100,100.1,100");
    expect(uses).toMatchObject({ "TT-221": "channel:item-1", "TT-221 spare": "none" });
  });

  it("lines above the names are passed over, also where they hold words", () => {
    const { names } = proposed(job, "Recorder;R-4;;", "Works;Marrow & Finch;;", "Zeit;Ref;TT-221;Note", "0;1;2;x");
    expect(names).toBe(3);
  });

  it("a date apart from the time of day is known as one", () => {
    const { uses, order, zone } = proposed(job, "Date;Time;Ref;TT-221", "24.11.2026;09:04:00;1,5;1,6");
    expect(uses).toMatchObject({ Date: "date", Time: "time" });
    expect({ order, zone }).toEqual({ order: "day-first", zone: "+02:00" });
  });

  it.each([
    ["2026-11-24 09:04:00", "year-first"],
    ["24.11.2026 09:04:00", "day-first"],
    ["11/24/2026 09:04:00", "month-first"],
  ])("the order of %s is %s", (time, order) => {
    expect(proposed(job, "time;Ref;TT-221", `${time};1;2`).order).toBe(order);
  });

  it("a zone is proposed only where the file says none", () => {
    expect(proposed(job, "time;Ref;TT-221", "2026-11-24T09:04:00Z;1;2").zone).toBeNull();
    expect(proposed(job, "time;Ref;TT-221", "12.5;1;2").zone).toBeNull();
    expect(proposed(job, "time;Ref;TT-221", "2026-11-24T09:04:00;1;2").zone).toBe("+02:00");
  });

  it("where a column names the channel, its names are matched too", () => {
    const { uses, channelNames } = proposed(
      job,
      "time,channel,value,unit",
      "0,PRT,100,ohm",
      "1,TT-221,100,ohm",
      "2,door,1,mV",
    );
    expect(uses).toEqual({ time: "time", channel: "names", value: "value", unit: "unit" });
    expect(channelNames).toEqual({ PRT: "reference", "TT-221": "item-1" });
  });

  it("a reference junction is known by its names", () => {
    const [item] = thermocouple.items;
    if (item?.coldJunction?.kind !== "channel") throw new Error("The example has a junction that is read.");
    const { uses } = proposed(thermocouple, `time;ref;${item.tag};CJ [°C]`, "0;100;4,1;21");
    expect(uses["CJ [°C]"]).toBe(`channel:${item.coldJunction.channel}`);
  });
});

describe("uses and mappings", () => {
  it("are the same thing, there and back", () => {
    const wide = sheet("no. 4;;;", "Zeit;Ref;TT-221;Note", "24.11.2026 09:04;1;2;x");
    const uses = proposeUses(wide, job, "Z");
    expect(usesOf(unwrap(mappingOf(uses)), wide)).toEqual(uses);
    const long = sheet("time,channel,value,unit", "0,PRT,100,ohm", "1,TT-221,100,ohm");
    expect(usesOf(unwrap(mappingOf(proposeUses(long, job, null))), long)).toEqual(proposeUses(long, job, null));
  });

  const given = (...uses: readonly (readonly [string, string])[]) =>
    mappingOf({
      names: 1,
      order: "year-first",
      zone: null,
      channelNames: {},
      uses: uses.map(([column, use]) => ({ column, use: use as "none" })),
    });

  it.each([
    [given(), /which column holds the time/],
    [given(["a", "time"]), /which columns hold readings/],
    [given(["a", "time"], ["b", "time"]), /Two columns are said to hold the time: a, b/],
    [given(["a", "time"], ["b", "channel:x"], ["c", "channel:x"]), /Two columns .* the channel "x"/],
    [given(["a", "time"], ["b", "names"]), /which column holds the value/],
    [given(["a", "time"], ["b", "value"]), /which column holds the channel of the row/],
    [given(["a", "time"], ["b", "names"], ["c", "value"], ["d", "channel:x"]), /Not both/],
  ])("what is missing or given twice is said (%#)", (outcome, words) => {
    expect(outcome).toMatchObject({ ok: false, fault: { message: expect.stringMatching(words) } });
  });
});

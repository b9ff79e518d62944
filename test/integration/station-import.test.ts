import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, afterEach, describe, expect, it } from "vitest";
import { paths, type ReadingsFile, type ReadingsQuestion } from "#contract";
import { home, removeScratch } from "./program.test-support.ts";
import { startStation, type StartedStation } from "./station.test-support.ts";

const ends: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});
afterAll(removeScratch);

const folder = join(home, "examples/recorded-elsewhere");
const bytesOf = async (path: string): Promise<Uint8Array<ArrayBuffer>> => new Uint8Array(await readFile(path));
const bytes = (text: string) => new Uint8Array(Buffer.from(text));
const example = () => bytesOf(join(folder, "readings.csv"));
const workbook = () => bytesOf(join(home, "test/fixtures/readings/wide.xlsx"));
const job = "CV-2611-004";

const station = async (): Promise<StartedStation> => {
  const started = await startStation();
  ends.push(() => started.stop());
  await started.client.addJob(await readFile(join(folder, "job.yaml"), "utf8"));
  return started;
};

const asked = ({ file, uses }: ReadingsFile, more: Partial<ReadingsQuestion> = {}): ReadingsQuestion => ({
  file,
  uses,
  started: null,
  marks: null,
  ...more,
});

/** The same readings as a recorder would write them: a column for each channel, a local clock, no word of points. */
const recorder = async (): Promise<string> => {
  const [, ...lines] = (await readFile(join(folder, "readings.csv"), "utf8")).trim().split("\n");
  const cells = lines.map((line) => line.split(","));
  const references = cells.filter(([, channel]) => channel === "reference");
  const items = cells.filter(([, channel]) => channel === "item-1");
  return [
    "Recorder 4,serial 1",
    "Zeit;PRT ref-11 (Ohm);TT-221;Bemerkung",
    ...references.map(([time, , value], index) => {
      const [day, clock] = time!.replace("Z", "").split("T");
      const [year, month, date] = day!.split("-");
      return [
        `${date}.${month}.${year} ${clock}`,
        value!.replace(".", ","),
        items[index]?.[2]?.replace(".", ",") ?? "",
        "",
      ].join(";");
    }),
  ]
    .join("\n")
    .replace("Recorder 4,serial 1\n", "Recorder 4;serial 1;;\n");
};

describe("a file that names its columns as this program does", () => {
  it("is understood by itself, judged like any run, and cannot be taken in twice", async () => {
    const { client, station: host } = await station();
    const file = await client.lookAtReadings(job, await example(), { name: "readings.csv" });
    expect(file).toMatchObject({ sheets: [], sheet: null, usesFrom: "proposed" });
    expect(file.uses.uses.map(({ column, use }) => `${column} ${use}`)).toEqual([
      "time time",
      "channel names",
      "value value",
      "unit unit",
      "pass pass",
      "point point",
    ]);
    const check = await client.checkReadings(job, asked(file));
    expect(check).toMatchObject({ obstacle: null, problems: [], marksFrom: "file", missing: [], needsStart: false });
    expect(check.marks.map(({ point, temperature }) => `${point} ${temperature}`)).toEqual(["0 0", "1 60", "2 120"]);
    for (const { reference, temperature } of check.marks) expect(Math.abs(reference! - temperature)).toBeLessThan(0.5);
    const run = await client.takeReadings(job, asked(file));
    expect(run).toMatchObject({ state: "ended", outcome: "completed", measured: 3, points: 3 });
    const { result } = await client.result(run.run);
    expect(result.items[0]!.passes[0]!.points.every((point) => point.status === "measured")).toBe(true);
    expect((await client.job(job)).runs.map((each) => each.run)).toEqual([run.run]);
    const view = await client.runView(run.run);
    expect(view.stage).toBe("ended");
    expect((await client.approach(run.run, "as-found", 1)).times.length).toBeGreaterThan(3);
    const log = Buffer.from((await host.desk.log(run.run)).bytes).toString("utf8");
    expect(log).toMatch(/SHA-256 of readings\.csv: [0-9a-f]{64}/);
    expect(await client.issue(run.run, { authorisedBy: "Idris Farrowby (demo)" })).toMatchObject({
      run: run.run,
      rehearsal: true,
    });
    await expect(client.takeReadings(job, asked(file))).rejects.toMatchObject({
      status: 409,
      problem: { message: expect.stringContaining(`as run ${run.run}`) },
    });
  });
});

describe("a file of a recorder, that says nothing of points", () => {
  it("is proposed by names, units and rows; its windows are found; what was chosen is remembered", async () => {
    const { client, station: host } = await station();
    const text = await recorder();
    const file = await client.lookAtReadings(job, bytes(text), { name: "log.txt", zone: "+00:00" });
    expect(file.uses).toMatchObject({ names: 2, order: "day-first", zone: "+00:00" });
    expect(file.uses.uses).toEqual([
      { column: "Zeit", use: "time" },
      { column: "PRT ref-11 (Ohm)", use: "channel:reference" },
      { column: "TT-221", use: "channel:item-1" },
      { column: "Bemerkung", use: "none" },
    ]);
    const check = await client.checkReadings(job, asked(file));
    expect(check).toMatchObject({
      obstacle: null,
      problems: [],
      marksFrom: "found",
      missing: [],
      unused: ["Bemerkung"],
    });
    expect(check.started).toBe("2026-11-24T09:04:00.000Z");
    expect(check.marks.map(({ temperature }) => temperature)).toEqual([0, 60, 120]);
    expect(check.picture.times.length).toBe(check.picture.reference.length);
    const run = await client.takeReadings(job, asked(file));
    expect(run).toMatchObject({ outcome: "completed", measured: 3 });
    const log = Buffer.from((await host.desk.log(run.run)).bytes).toString("utf8");
    expect(log).toContain("chosen afterwards, on the page");

    // The same shape another day, and the same with one column less.
    const later = text.replaceAll("24.11.2026", "25.11.2026");
    const again = await client.lookAtReadings(job, bytes(later), { name: "log2.txt" });
    expect(again).toMatchObject({ usesFrom: "remembered", uses: file.uses });
    const narrower = text.replaceAll(/;$/gm, "").replace(";Bemerkung", "");
    expect(await client.lookAtReadings(job, bytes(narrower), { name: "log3.txt" })).toMatchObject({
      usesFrom: "proposed",
    });
  });

  it("windows are set by hand, and those that cannot be are refused in words", async () => {
    const { client } = await station();
    const file = await client.lookAtReadings(job, bytes(await recorder()), { name: "log.txt", zone: "Z" });
    const { marks } = await client.checkReadings(job, asked(file));
    const [first, second] = marks.map(({ pass, point, from, to }) => ({ pass, point, from, to }));
    const shorter = { ...first!, to: first!.from + (first!.to - first!.from) / 2 };
    const check = await client.checkReadings(job, asked(file, { marks: [shorter] }));
    expect(check).toMatchObject({ obstacle: null, marksFrom: "given" });
    expect(check.marks[0]!.readings).toBeLessThan(marks[0]!.readings);
    expect(check.missing.map(({ temperature }) => temperature)).toEqual([60, 120]);
    for (const [wrong, words] of [
      [[{ ...first!, to: first!.from }], /ends before it begins/],
      [[first!, { ...first!, from: 0, to: 1 }], /one window only/],
      [[first!, { ...second!, from: first!.from }], /overlap/],
      [[{ ...first!, point: 9 }], /no such point/],
      [[{ ...first!, from: first!.to - 1 }], /holds 1 readings of one of its channels/],
      [[], /No point was found/],
    ] as const) {
      const { obstacle } = await client.checkReadings(job, asked(file, { marks: [...wrong] }));
      expect(obstacle).toMatch(words);
      await expect(client.takeReadings(job, asked(file, { marks: [...wrong] }))).rejects.toThrow(words);
    }
    const run = await client.takeReadings(job, asked(file, { marks: [shorter, second!] }));
    expect(run).toMatchObject({ outcome: "completed", measured: 2, points: 3 });
  });

  it("seconds want to know from when; columns that are given twice or not at all are said", async () => {
    const { client } = await station();
    const file = await client.lookAtReadings(job, bytes("t,reference,TT-221\n0,100.01,100.03\n10,100.01,100.03\n"), {
      name: "seconds.csv",
    });
    const check = await client.checkReadings(job, asked(file));
    expect(check).toMatchObject({ needsStart: true, obstacle: expect.stringMatching(/second 0/) });
    const twice = { ...file.uses, uses: file.uses.uses.map((each) => ({ ...each, use: "time" as const })) };
    expect((await client.checkReadings(job, asked(file, { uses: twice }))).obstacle).toMatch(/Two columns .* the time/);
    const none = { ...file.uses, uses: file.uses.uses.map((each) => ({ ...each, use: "none" as const })) };
    expect((await client.checkReadings(job, asked(file, { uses: none }))).obstacle).toMatch(
      /which column holds the time/,
    );
  });
});

describe("a workbook", () => {
  it("is known by its content, with its sheets, and gives the digits of the CSV that it was made from", async () => {
    const { client } = await station();
    const file = await client.lookAtReadings(job, await workbook(), { name: "wide.bin", zone: "+01:00" });
    expect(file).toMatchObject({ sheets: ["Log"], sheet: "Log", uses: { names: 2, zone: "+01:00" } });
    const uses = {
      ...file.uses,
      uses: file.uses.uses.map(({ column, use }) =>
        column === "Prüfling" ? { column, use: "channel:item-1" as const } : { column, use },
      ),
    };
    const run = await client.takeReadings(job, asked(file, { uses }));
    const { result } = await client.result(run.run);
    const other = await station();
    const plain = await other.client.lookAtReadings(job, await example(), { name: "readings.csv" });
    const taken = await other.client.takeReadings(job, asked(plain));
    const errors = (of: typeof result) =>
      of.items[0]!.passes[0]!.points.map((point) => (point.status === "measured" ? point.error.value : null));
    expect(errors(result)).toEqual(errors((await other.client.result(taken.run)).result));
  });
});

describe("what cannot be used", () => {
  it("bad rows are named each with its line and reason", async () => {
    const { client } = await station();
    const broken = (await readFile(join(folder, "readings.csv"), "utf8"))
      .replace("101.702", "1o1.702")
      .replace("item-1,101.707,Ω", "item-1,101.707,mV");
    const file = await client.lookAtReadings(job, bytes(broken), { name: "broken.csv" });
    const check = await client.checkReadings(job, asked(file));
    expect(check.problems).toMatchObject([
      { line: 2, column: "value", message: expect.stringContaining("1o1.702") },
      { line: 3, column: "unit", message: expect.stringContaining("Ω") },
    ]);
    expect(check).toMatchObject({ problemCount: 2, obstacle: expect.stringContaining("Some rows cannot be used") });
    await expect(client.takeReadings(job, asked(file))).rejects.toMatchObject({ status: 400 });
    expect((await client.job(job)).runs).toEqual([]);
  });

  it("what is no table, too large, of another kind, or forgotten is refused", async () => {
    const { client, fetch } = await station();
    await expect(
      client.lookAtReadings(job, new Uint8Array([0x89, 0x50, 0, 0]), { name: "picture.png" }),
    ).rejects.toThrow(/not a text file/);
    const large = await fetch(`${paths.jobReadings(job, "files")}?name=large.csv`, {
      method: "POST",
      headers: { "content-type": "application/octet-stream" },
      body: new Uint8Array(17 * 1024 * 1024),
    });
    expect(large.status).toBe(413);
    expect(await large.json()).toMatchObject({ error: { message: expect.stringContaining("16 MiB") } });
    const file = await client.lookAtReadings(job, await example(), { name: "r.csv" });
    for (const count of [1, 2, 3])
      await client.lookAtReadings(job, bytes(`time,reference,item-1\n${count},100,100\n`), { name: "other.csv" });
    await expect(client.checkReadings(job, asked(file))).rejects.toMatchObject({ status: 404 });
  });
});

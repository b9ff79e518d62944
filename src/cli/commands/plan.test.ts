import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { ask } from "./ask.test-support.ts";
import { plan } from "./plan.ts";

const home = new URL("../../../", import.meta.url).pathname;
const example = (name: string): string => join(home, "examples", `${name}.yaml`);
const day = ["--day", "2026-11-25"];

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "dwellpoint-plan-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const changed = async (name: string, file: string, change: (text: string) => string): Promise<string> => {
  const path = join(folder, file);
  await writeFile(path, change(await readFile(example(name), "utf8")));
  return path;
};

interface PlanJson {
  readonly job: string;
  readonly ready: boolean;
  readonly items: readonly {
    readonly change: { readonly words: string };
    readonly points: readonly {
      readonly temperature: number;
      readonly expectedU: number;
      readonly tolerance: { readonly lower: number; readonly upper: number };
      readonly ratio: number;
      readonly conformanceProbability: number;
      readonly specificRisk: number;
      readonly globalRisk: { readonly consumer: number; readonly producer: number };
      readonly limiting: { readonly id: string };
      readonly time: { readonly seconds: number; readonly shortest: number; readonly longest: number };
    }[];
  }[];
  readonly order: { readonly temperatures: readonly number[] };
  readonly timetable: {
    readonly entries: readonly { readonly kind: string; readonly start: string }[];
    readonly finish: string;
  };
  readonly kits?: {
    readonly best: string | null;
    readonly kits: readonly { readonly name: string; readonly goodEnough: boolean }[];
  };
}

const planned = async (...words: string[]): Promise<PlanJson> => {
  const { code, text, errors } = await ask(plan, "", words);
  expect([code, errors]).toEqual([0, ""]);
  return JSON.parse(text) as PlanJson;
};

/** Temperature, U to two digits, ratio, whole minutes: the plans of the examples as they stand. */
const golden = {
  "pt100-four-wire": {
    points: [
      [-20, "0.046", "4.1", 14],
      [0, "0.045", "3.4", 8],
      [50, "0.048", "5.2", 10],
      [100, "0.052", "6.7", 10],
      [150, "0.056", "8.0", 10],
    ],
    order: [150, 100, 50, 0, -20],
    limiting: "ref-11",
  },
  "type-k-thermocouple": {
    points: [
      [0, "0.31", "4.9", 11],
      [100, "0.32", "4.7", 11],
      [250, "0.40", "3.8", 13],
      [400, "0.50", "3.2", 13],
    ],
    order: [0, 100, 250, 400],
    limiting: "te-118",
  },
  "transmitter-4-20": {
    points: [
      [0, "0.098", "5.1", 14],
      [37.5, "0.099", "5.0", 12],
      [75, "0.10", "5.0", 12],
      [112.5, "0.10", "4.9", 12],
      [150, "0.10", "4.8", 12],
    ],
    order: [150, 112.5, 75, 37.5, 0],
    limiting: "block-5",
  },
} as const;

describe("plan JOB", () => {
  it.each(Object.entries(golden))(
    "the example %s has the plan it always had",
    async (name, { points, order, limiting }) => {
      const { items, order: proposed, ready } = await planned(example(name), ...day);
      expect(ready).toBe(true);
      const [item] = items;
      const found = item!.points.map((point) => [
        point.temperature,
        point.expectedU.toPrecision(2),
        point.ratio.toFixed(1),
        Math.round(point.time.seconds / 60),
      ]);
      expect(found).toEqual(points);
      expect(proposed.temperatures).toEqual(order);
      expect(new Set(item!.points.map((point) => point.limiting.id))).toEqual(new Set([limiting]));
      for (const point of item!.points) {
        expect(point.tolerance.upper / point.expectedU).toBeCloseTo(point.ratio, 9);
        expect(point.conformanceProbability).toBeGreaterThan(0.99);
        expect(point.globalRisk.consumer).toBeLessThan(0.02);
        expect(point.time.shortest).toBeLessThan(point.time.longest);
      }
    },
  );

  it("plans a day over several jobs, whatever order they are named in", async () => {
    const words = ["--start", "07:30", "--end", "17:00", "--break", "12:00-12:30", ...day];
    const names = Object.keys(golden).map(example);
    const one = (await planned(...names, ...words)) as unknown as {
      jobs: { job: string }[];
      timetable: PlanJson["timetable"];
    };
    const other = (await planned(...names.toReversed(), ...words)) as unknown as typeof one;
    expect(one.jobs.map(({ job }) => job)).toEqual(other.jobs.map(({ job }) => job).toReversed());
    expect(one.timetable).toEqual(other.timetable);
    expect(one.timetable.entries[0]!.start).toBe("07:30");
    expect(one.timetable.entries.filter(({ kind }) => kind === "set-up")).toHaveLength(3);
    expect(one.timetable.entries.filter(({ kind }) => kind === "pause")).toHaveLength(1);
  });

  it("puts kits beside each other", async () => {
    const file = async (name: string, uncertainty: number): Promise<string> => {
      const path = join(folder, `${name}.yaml`);
      const reference = (await readFile(example("pt100-four-wire"), "utf8")).match(
        / {2}reference:\n[\s\S]*?(?= {2}readout:)/,
      )![0];
      const flat = reference
        .replace(/uncertainty:[^\n]*\n(?: {8}- .*\n)+/, `uncertainty: ${uncertainty}\n`)
        .replace("id: ref-11", `id: ${name}`);
      await writeFile(path, flat.replaceAll(/^ {2}/gm, ""));
      return path;
    };
    const { kits } = await planned(
      example("pt100-four-wire"),
      ...day,
      "--kit",
      await file("fine", 0.01),
      await file("coarse", 0.3),
    );
    expect(kits!.kits.map(({ name, goodEnough }) => [name, goodEnough])).toEqual([
      ["The job's own", true],
      ["fine", true],
      ["coarse", false],
    ]);
  });

  it("a table for people says the same", async () => {
    const { code, text } = await ask(plan, "", [example("type-k-thermocouple"), "--text", ...day]);
    expect(code).toBe(0);
    for (const words of ["TE-118", "±1.5", "What helps most at 400 °C", "no history", "The day", "08:00"])
      expect(text).toContain(words);
  });
});

describe("what plan refuses", () => {
  it("a job that cannot prove anything: exit 1, one error with the reason and the remedies, and the plan beside it", async () => {
    const path = await changed("pt100-four-wire", "tight.yaml", (text) =>
      text.replace("{class: iec-60751/A, construction: wire-wound}", "{kelvin: 0.03}"),
    );
    const { code, text, errors } = await ask(plan, "", [path, ...day]);
    expect(code).toBe(1);
    const { error } = JSON.parse(errors) as { error: { code: string; message: string; data: { remedies: unknown[] } } };
    expect(error.code).toBe("job.cannot-prove");
    expect(error.message).toContain("TT-204 could not pass at any point");
    expect(error.data.remedies.length).toBeGreaterThan(0);
    const answer = JSON.parse(text) as PlanJson & { error: unknown };
    expect(answer.error).toEqual(error);
    expect(answer.ready).toBe(false);
    expect(answer.items[0]!.points).toHaveLength(5);
    expect(answer).not.toHaveProperty("timetable");
  });

  it("a reference that is out of calibration on the day", async () => {
    const { code, errors } = await ask(plan, "", [example("pt100-four-wire"), "--day", "2027-04-01"]);
    expect(code).toBe(1);
    expect(JSON.parse(errors)).toMatchObject({ error: { code: "kit.out-of-calibration" } });
  });

  it("a point outside of the source, with its line", async () => {
    const path = await changed("pt100-four-wire", "hot.yaml", (text) =>
      text.replace("temperature: 150", "temperature: 190"),
    );
    await expect(ask(plan, "", [path, ...day])).rejects.toMatchObject({
      code: "kit.out-of-range",
      message: expect.stringContaining("hot.yaml:"),
    });
  });

  it("a probe for which there is no well", async () => {
    const path = await changed("transmitter-4-20", "wells.yaml", (text) =>
      text.replace("    depth: 150\n", "    depth: 150\n    wells: [{diameter: 4, count: 4}]\n"),
    );
    const { code, errors } = await ask(plan, "", [path, ...day]);
    expect(code).toBe(1);
    expect(JSON.parse(errors)).toMatchObject({
      error: { code: "kit.unfit", message: expect.stringContaining("No well of block-5") },
    });
  });

  it.each([
    [[], /at least one job file/],
    [["a.yaml", "--kit"], /wants at least one file/],
    [["a.yaml", "--start", "8"], /--start wants a time/],
    [["a.yaml", "--start", "17:00", "--end", "08:00"], /--end must be later/],
    [["a.yaml", "--break", "12:00"], /--break wants HH:MM-HH:MM/],
    [["a.yaml", "--day", "2026-02-30"], /--day wants a date/],
    [["a.yaml", "--text", "--json"], /exclude each other/],
    [["a.yaml", "b.yaml", "--kit", "c.yaml"], /one job at a time/],
    [["a.yaml", "--quick"], /--quick/],
  ])("wrong words: %j", async (words, message) => {
    await expect(ask(plan, "", words)).rejects.toMatchObject({
      code: "usage.wrong",
      message: expect.stringMatching(message),
    });
  });

  it("the same job twice", async () => {
    const path = example("pt100-four-wire");
    await expect(ask(plan, "", [path, path, ...day])).rejects.toMatchObject({
      code: "usage.wrong",
      message: expect.stringContaining("twice"),
    });
  });

  it("a kit file with a wrong field, with its line", async () => {
    const path = join(folder, "kit.yaml");
    await writeFile(path, "name: odd\nrefrence: {}\n");
    await expect(ask(plan, "", [example("pt100-four-wire"), "--kit", path])).rejects.toMatchObject({
      code: "input.invalid",
      message: expect.stringContaining("kit.yaml:2"),
    });
  });
});

import { readFile, readdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { evaluate, parseLog, type RunEvent } from "#calibration";
import { dwellpoint, exampleFile, home, removeScratch, scratch } from "./program.test-support.ts";

afterAll(removeScratch);

interface Summary {
  readonly outcome: string;
  readonly log: string;
  readonly result: string;
  readonly certificate: { readonly pdf: string; readonly xml: string };
  readonly items: readonly {
    readonly tag: string;
    readonly adjustment: { readonly zero: number; readonly span: number } | null;
    readonly passes: readonly {
      readonly pass: string;
      readonly decision: string;
      readonly points: readonly { readonly nominal: number; readonly decision: string }[];
    }[];
  }[];
}

const conducted = async (example: string, seed: number) => {
  const folder = await scratch();
  const job = await exampleFile(folder, example);
  const out = join(folder, "out");
  const answer = await dwellpoint(["run", job, "--out", out, "--speed", "max", "--seed", String(seed)]);
  const summary = answer.lines.at(-1) as unknown as Summary;
  return { ...answer, out, summary };
};

const readLog = async (path: string): Promise<RunEvent[]> => parseLog((await readFile(path, "utf8")).split("\n"));

describe("run, each example from its job file to its certificate over loopback sockets", () => {
  it.each([
    { example: "type-k-thermocouple", points: [0, 100, 250, 400], passes: { "as-found": "pass" } },
    { example: "pt100-four-wire", points: [-20, 0, 50, 100, 150], passes: { "as-found": "pass" } },
    {
      example: "transmitter-4-20",
      points: [0, 37.5, 75, 112.5, 150],
      passes: { "as-found": "fail", "as-left": "pass" },
    },
  ])(
    "$example",
    async ({ example, points, passes }) => {
      const { code, lines, error, out, summary } = await conducted(example, 3);
      expect(error).toBeNull();
      expect(code).toBe(0);
      expect(lines.slice(0, -1).every(({ kind }) => kind === "progress")).toBe(true);
      expect(lines.some(({ stage }) => stage === "settling") && lines.some(({ stage }) => stage === "measuring")).toBe(
        true,
      );
      expect(summary.outcome).toBe("completed");

      const [item] = summary.items;
      expect(Object.fromEntries(item!.passes.map(({ pass, decision }) => [pass, decision]))).toEqual(passes);
      for (const pass of item!.passes) expect(pass.points.map(({ nominal }) => nominal)).toEqual(points);

      const log = await readLog(summary.log);
      expect(log.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
      const switched = log.filter((event) => event.kind === "output-switched");
      expect(switched.at(-1)).toMatchObject({ on: false });
      expect(JSON.parse(await readFile(summary.result, "utf8"))).toEqual(JSON.parse(JSON.stringify(evaluate(log))));
      expect((await readFile(summary.certificate.pdf)).subarray(0, 5).toString()).toBe("%PDF-");
      expect(await readFile(summary.certificate.xml, "utf8")).toContain(item!.tag);
      // The journal's lock and unfinished files are gone.
      expect((await readdir(out)).filter((name) => /\.(lock|part)$/.test(name))).toEqual([]);
    },
    60_000,
  );

  it("fits the working standard, states the global risks asked for, and finds what the bench hid", async () => {
    const { summary, code } = await conducted("working-standard", 3);
    expect(code).toBe(0);
    const result = evaluate(await readLog(summary.log));
    const [pass] = result.items[0]!.passes;
    if (pass?.fit?.status !== "fitted") throw new Error("Nothing was fitted.");
    // The example hides 0.011 Ω at 0 °C and 6e-7 °C⁻¹ in A; the reference's own error is part of the standard uncertainty.
    const [r0, a] = pass.fit.coefficients;
    expect(Math.abs(r0!.value - 100.011)).toBeLessThan(3 * r0!.standardError);
    expect(Math.abs(a!.value - (3.9083e-3 + 6e-7))).toBeLessThan(3 * a!.standardError);
    for (const point of pass.points)
      expect(point).toMatchObject({ globalRisk: { status: "stated", prior: { of: "item", observations: 6 } } });
    const xml = await readFile(summary.certificate.xml, "utf8");
    expect(xml).toContain("consumer's and producer's risk");
    const check = JSON.parse(await readFile(summary.result.replace(".result.json", ".check.json"), "utf8"));
    expect(check.validation).toHaveLength(5);
    expect(check.validation.every(({ status }: { status: string }) => status === "validated")).toBe(true);
  }, 60_000);

  it("refuses a reference that was copied wrongly from its report, and points at the digit", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire", [["a: -1.7120943e-4", "a: -1.7210943e-4"]]);
    const { code, error } = await dwellpoint(["run", job, "--out", join(folder, "out"), "--speed", "max"]);
    expect(code).toBe(1);
    expect(error).toMatchObject({ code: "kit.coefficients-differ" });
    expect(error!.message).toContain("7.a");
    expect(error!.message).toContain("digits 3 and 4");
  });

  it("adjusts the transmitter as the job authorises, and says by how much", async () => {
    const { summary } = await conducted("transmitter-4-20", 3);
    const { adjustment } = summary.items[0]!;
    expect(adjustment).not.toBeNull();
    const log = await readLog(summary.log);
    const adjusted = log.filter((event) => event.kind === "item-adjusted");
    expect(adjusted).toHaveLength(1);
    expect(adjusted[0]).toMatchObject({ zero: adjustment!.zero, span: adjustment!.span });
  }, 60_000);

  it("gives the same digits for the same seed, at any speed", async () => {
    const readings = async (speed: string) => {
      const folder = await scratch();
      const job = await exampleFile(folder, "pt100-four-wire", [
        [/ {4}- temperature: 50\n(.|\n)*?(?= {2}readings:)/, ""],
      ]);
      const { lines } = await dwellpoint(["run", job, "--out", folder, "--speed", speed, "--seed", "11"]);
      const log = await readLog((lines.at(-1) as unknown as Summary).log);
      return log
        .filter((event) => event.kind === "readings-taken")
        .map(({ times, wire, channel }) => ({ channel, times, wire }));
    };
    expect(await readings("max")).toEqual(await readings("2000"));
  }, 60_000);
});

describe("run, of a temperature switch", () => {
  it("takes it past its trip both ways and finds what the bench hid, with a certificate", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "temperature-switch");
    const { code, lines } = await dwellpoint([
      "run",
      job,
      "--out",
      join(folder, "out"),
      "--speed",
      "max",
      "--seed",
      "4",
    ]);
    expect(code).toBe(0);
    const { log, certificate } = lines.at(-1) as unknown as Summary;
    const [pass] = evaluate(await readLog(log)).items[0]!.passes;
    const found = pass!.switch!;
    // The example's bench acts at 92.45 °C rising and 89.1 °C falling.
    for (const [change, truth] of [
      [found.rising, 92.45],
      [found.falling, 89.1],
    ] as const) {
      if (change.status !== "measured") throw new Error(change.reason);
      expect(Math.abs(change.temperature.value - truth)).toBeLessThan(change.budget.U);
    }
    if (found.deadBand.status !== "measured") throw new Error("no dead band");
    expect(Math.abs(found.deadBand.value.value - 3.35)).toBeLessThan(found.deadBand.budget.U);
    expect((await readFile(certificate.xml)).toString()).toContain("TSH-118");
  }, 60_000);
});

describe("run, with readings recorded elsewhere", () => {
  /** The log's readings as somebody's recorder would give them: dates and times, and which point each belongs to. */
  const asCsv = (log: readonly RunEvent[]): string => {
    const windows = log.filter((event) => event.kind === "point-measured");
    const opened = log[0]!.kind === "run-opened" ? Date.parse(log[0]!.opened) : 0;
    const rows = log
      .filter((event) => event.kind === "readings-taken")
      .flatMap(({ channel, unit, times, values }) =>
        times.map((time, index) => ({ time, channel, unit, value: values[index]! })),
      )
      .toSorted((a, b) => a.time - b.time)
      .map(({ time, channel, unit, value }) => {
        const window = windows.find(({ from, to }) => time >= from && time <= to);
        return [
          new Date(opened + time * 1000).toISOString(),
          channel,
          value,
          unit,
          window === undefined ? "" : window.point + 1,
        ].join(",");
      });
    return ["time,channel,value,unit,point", ...rows, ""].join("\n");
  };

  it("gives the same figures and decisions as the run in which they were taken", async () => {
    const { summary } = await conducted("pt100-four-wire", 7);
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire");
    const csv = join(folder, "readings.csv");
    await writeFile(csv, asCsv(await readLog(summary.log)));
    const { code, error, lines } = await dwellpoint(["run", job, "--readings", csv, "--out", join(folder, "out")]);
    expect(error).toBeNull();
    expect(code).toBe(0);
    const recorded = lines.at(-1) as unknown as Summary;
    const figures = ({ items }: Summary) =>
      items.flatMap(({ passes }) =>
        passes.flatMap(({ pass, points }) => points.map(({ nominal, decision }) => ({ pass, nominal, decision }))),
      );
    expect(figures(recorded)).toEqual(figures(summary));
    const errors = async (path: string) =>
      evaluate(await readLog(path)).items[0]!.passes[0]!.points.map((point) =>
        point.status === "measured" ? point.error.value : null,
      );
    expect(await errors(recorded.log)).toEqual(await errors(summary.log));
    expect((await readFile(recorded.certificate.pdf)).subarray(0, 5).toString()).toBe("%PDF-");
    // Taken in once; a second time would be a second record of the same readings.
    const again = await dwellpoint(["run", job, "--readings", csv, "--out", join(folder, "out")]);
    expect(again).toMatchObject({ code: 1, error: { code: "run.not-allowed" } });
  }, 60_000);

  it("takes a workbook of another shape by a mapping, and remembers it for the next of that shape", async () => {
    const folder = await scratch();
    const job = join(home, "examples/recorded-elsewhere/job.yaml");
    const workbook = join(home, "test/fixtures/readings/wide.xlsx");
    const environment = { CI: "true", XDG_CONFIG_HOME: join(folder, "settings") };
    const run = (out: string, ...words: string[]) =>
      dwellpoint(["run", job, "--readings", workbook, "--out", join(folder, out), ...words], { environment });
    const unknown = await run("one");
    expect(unknown).toMatchObject({ code: 1, error: { code: "input.malformed" } });
    const mapping = join(folder, "recorder.yaml");
    await writeFile(
      mapping,
      'names: 2\ntime: Datum/Zeit\nzone: "+01:00"\npoint: Punkt\nchannels:\n  Referenz (Ohm): {channel: reference}\n  Prüfling: {channel: item-1}\n',
    );
    expect((await run("two", "--mapping", mapping)).code).toBe(0);
    const remembered = await run("three");
    expect(remembered.code).toBe(0);
    const plain = await dwellpoint([
      "run",
      job,
      "--readings",
      join(home, "examples/recorded-elsewhere/readings.csv"),
      "--out",
      join(folder, "four"),
    ]);
    const items = ({ lines }: typeof plain) => (lines.at(-1) as unknown as Summary).items;
    expect(items(remembered)).toEqual(items(plain));
  });

  it("names the lines that cannot be used", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire");
    const csv = join(folder, "readings.csv");
    await writeFile(csv, "time,channel,value,unit\n0,reference,abc,Ω\n2,item-9,100.1,Ω\n");
    const { code, error } = await dwellpoint(["run", job, "--readings", csv, "--out", join(folder, "out")]);
    expect(code).toBe(1);
    expect(error!.code).toBe("input.invalid");
    expect((error!.data!["fields"] as { line: number }[]).map(({ line }) => line)).toEqual(
      expect.arrayContaining([2, 3]),
    );
  });
});

describe("run, told to stop", () => {
  it("switches the source off, ends the run and keeps the log", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire");
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 700);
    const { code, lines } = await dwellpoint(["run", job, "--out", folder, "--speed", "300", "--seed", "2"], {
      signal: stop.signal,
    });
    expect(code).toBe(1);
    const summary = lines.at(-1) as unknown as Summary & { withheld: string };
    expect(summary.outcome).toBe("stopped");
    expect(summary.certificate).toBeNull();
    expect(summary.withheld).toContain("not completed");
    const log = await readLog(summary.log);
    expect(log.slice(-2).map(({ kind }) => kind)).toEqual(["output-switched", "run-ended"]);
  }, 60_000);
});

describe("run, twice into the same folder", () => {
  it("writes nothing over: the second certificate has a number of its own", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire");
    const out = join(folder, "out");
    const conduct = () => dwellpoint(["run", job, "--out", out, "--speed", "max"]);
    const numberOf = (answer: Awaited<ReturnType<typeof conduct>>) =>
      (answer.lines.at(-1) as unknown as { certificate: { number: string } }).certificate.number;
    const first = numberOf(await conduct());
    const bytes = await readFile(join(out, `${first}.pdf`));
    // Runs are named by the second of their opening.
    await new Promise((resolve) => setTimeout(resolve, 1100));
    const second = numberOf(await conduct());
    expect(second).toBe(`${first}-2`);
    expect(await readFile(join(out, `${first}.pdf`))).toEqual(bytes);
    expect((await readdir(out)).filter((name) => name.endsWith(".pdf")).toSorted()).toEqual(
      [`${first}-2.pdf`, `${first}.pdf`].toSorted(),
    );
  });
});

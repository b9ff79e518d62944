import { readdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { evaluate, parseLog } from "#calibration";
import { dwellpoint, exampleFile, exampleText, removeScratch, scratch, type Change } from "./program.test-support.ts";
import { startStation, untilView } from "./station.test-support.ts";

afterAll(removeScratch);

const procedure: Change = [
  "    - temperature: -20\n    - temperature: 0\n    - temperature: 50\n    - temperature: 100\n    - temperature: 150\n",
  "    - temperature: 30\n    - temperature: 60\n    - {temperature: 30, direction: falling}\n  closingCheck: {kind: ice-point, limit: 0.08}\n",
];
const spare = [
  "id: ref-12",
  "description: Spare probe",
  'serial: "1109"',
  "sensor: {kind: platinum, equation: callendar-van-dusen, r0: 100.05, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12}",
  "channel: reference",
  "unit: Ω",
  "range: {minimum: -50, maximum: 300}",
  "calibration: {certificate: IRL-26-0500, laboratory: Invented Reference Laboratory (demo), date: 2026-03-09, due: 2027-03-09, uncertainty: 0.03}",
  "driftPerYear: 0.02",
].join("\n");

describe("run --commands", () => {
  const conducted = async (commands: readonly object[], changes: readonly Change[] = [procedure]) => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire", changes);
    const script = join(folder, "commands.jsonl");
    await writeFile(script, commands.map((command) => `${JSON.stringify(command)}\n`).join(""));
    const out = join(folder, "out");
    const answer = await dwellpoint(["run", job, "--out", out, "--speed", "max", "--seed", "3", "--commands", script]);
    const name = (await readdir(out)).find((each) => each.endsWith(".log.jsonl"));
    const log = name === undefined ? [] : parseLog((await readFile(join(out, name), "utf8")).split("\n"));
    return { ...answer, log, out, script };
  };

  it("adds a point, takes a break, replaces the reference and checks it, up to the certificate with both kits", async () => {
    const { code, stderr, log, lines, out } = await conducted([
      { command: "add-point", temperature: 45, where: "next", reason: "in use there", when: { reached: 0 } },
      { command: "break", hold: true, seconds: 600, when: { reached: 3 } },
      { command: "resume", when: { at: 700 } },
      {
        command: "replace-kit",
        role: "reference",
        entry: spare,
        earlier: "keep",
        reason: "1108 fell on the floor",
        when: { reached: 1 },
      },
      { command: "resume", when: { stage: "paused" } },
    ]);
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    const kinds = new Set(log.map(({ kind }) => kind));
    for (const kind of ["point-added", "break-begun", "kit-replaced", "check-measured", "reference-placed"] as const)
      expect(kinds).toContain(kind);
    const result = evaluate(log);
    // Hidden errors are drawn within what the kit states, so the ice point finds the reference within its limit.
    expect(result.closingCheck).toMatchObject({ status: "holds", reference: { serial: "1109" } });
    const [pass] = result.items[0]!.passes;
    expect(pass!.points.map(({ status }) => status)).toEqual(["measured", "measured", "measured", "measured"]);
    // The example's probe is off by 0.02 Ω of its R0 and a little in its slope: 0.05 K to 0.08 K here, whichever reference reads it.
    for (const point of pass!.points)
      expect(Math.abs((point.status === "measured" ? point.error.value : Number.NaN) - 0.06)).toBeLessThan(0.06);
    expect(pass!.hysteresis).toMatchObject([{ nominal: 30, rising: 0, falling: 2 }]);
    const xml = await readFile(join(out, "CV-2611-002.xml"), "utf8");
    expect(xml).toContain("1108");
    expect(xml).toContain("1109");
    expect(xml).toContain("IRL-26-0500");
    expect(lines.at(-1)).toMatchObject({ kind: "summary", outcome: "completed" });
  }, 60_000);

  it("measures two items each as it becomes ready, loads new coefficients, and compares with a check thermometer", async () => {
    const second = [
      "  - id: tt-205",
      "    tag: TT-205",
      "    description: Pt100 resistance thermometer, thick well",
      '    serial: "0042818"',
      "    sensor: {kind: platinum, equation: callendar-van-dusen, r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12}",
      "    channel: item-2",
      "    unit: Ω",
      "    tolerance: {class: iec-60751/A, construction: wire-wound}",
      "    limits: {minimum: -40, maximum: 200}",
      "",
      "kit:",
    ].join("\n");
    const { code, stderr, log } = await conducted(
      [{ command: "confirm-adjustment", when: { allowed: "confirm-adjustment" } }],
      [
        [/\nkit:/, `\n${second}`],
        [
          procedure[0],
          [
            "    - temperature: 0",
            "    - temperature: 50",
            "    - temperature: 100",
            "  passes: [as-found, as-left]",
            "  items: each",
            "  adjustment: {kind: new-coefficients, model: callendar-van-dusen, adjustAbove: 0.5, authorisedBy: Idris Farrowby (demo)}",
            "  closingCheck: {kind: check-thermometer, temperature: 50, description: check probe, serial: C-1, certificate: IRL-26-0600, uncertainty: 0.03, channel: check, limit: 0.15}",
            "",
          ].join("\n"),
        ],
        [
          "    source: {instrument: heat-source",
          "    item-2: {instrument: readout, input: 3, unit: Ω}\n    check: {instrument: readout, input: 4, unit: °C}\n    source: {instrument: heat-source",
        ],
        // 0.1 Ω of 100 Ω is 0.26 K at 0 °C (0.3908 Ω/K, IEC 60751): beyond the tolerance of class A there, 0.15 K.
        [
          "        deviation: {r0: 0.02, a: 1.0e-6}",
          "        deviation: {r0: 0.1, a: 0}\n      item-2:\n        lags: [20, 40]\n        deviation: {r0: 0.01, a: 0}",
        ],
        ["    ambient: 22\n", "    ambient: 22\n    check: {channel: check, error: 0.01}\n"],
      ],
    );
    expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
    const result = evaluate(log);
    const [first, slow] = result.items;
    const errors = (pass: number) =>
      first!.passes[pass]!.points.map((point) => (point.status === "measured" ? point.error.value : Number.NaN));
    expect(Math.max(...errors(0))).toBeGreaterThan(0.2);
    expect(Math.max(...errors(1).map(Math.abs))).toBeLessThan(0.03);
    expect(first!.loaded!.sensor).toMatchObject({ r0: expect.closeTo(100.1, 1) });
    // The other item is inside half its tolerance and keeps what it has.
    expect(slow!.loaded).toBeUndefined();
    const windows = log.filter((event) => event.kind === "point-measured");
    expect(windows.every(({ item }) => item !== undefined)).toBe(true);
    expect(windows).toHaveLength(12);
    expect(result.closingCheck).toMatchObject({ kind: "check-thermometer", status: "holds" });
  }, 90_000);

  it("says which commands were refused or never came to their turn, with the line, and exits 1", async () => {
    const { code, error, stderr, script } = await conducted(
      [
        { command: "add-point", temperature: 900, reason: "r", when: { reached: 0 } },
        { command: "record-check", value: 1, when: { allowed: "record-check" } },
      ],
      [[procedure[0], "    - temperature: 30\n"]],
    );
    expect(code).toBe(1);
    expect(error).not.toBeNull();
    expect(stderr).toContain(`${script}:1 (add-point): 900 °C is outside what heat source`);
    expect(stderr).toContain(`${script}:2 (record-check) was not given`);
  }, 60_000);

  it("refuses a file that holds no commands, with the line", async () => {
    const folder = await scratch();
    const script = join(folder, "commands.jsonl");
    await writeFile(script, '{"command":"pause"}\n{"command":"fly"}\n');
    const job = await exampleFile(folder, "pt100-four-wire");
    const { code, error } = await dwellpoint(["run", job, "--out", join(folder, "out"), "--commands", script]);
    expect(code).toBe(1);
    expect(error).toMatchObject({ code: "input.invalid", message: expect.stringContaining(`${script}:2`) });
  });
});

describe("on the station", () => {
  const stuck: Change = [
    "    ambient: 22\n",
    "    ambient: 22\n    faults:\n      - {kind: stuck, channel: reference, at: 420, until: 900}\n",
  ];

  it("a reference that sticks pauses the run; another takes its place, the station is restarted, the run completes", async () => {
    const first = await startStation();
    const text = await exampleText("pt100-four-wire", [procedure, stuck]);
    const { job } = await first.client.addJob(text);
    const { run } = await first.client.startRun(job, { seed: 3 });
    await first.client.command(run, { command: "start" });
    const paused = await untilView(first.client, run, ({ stage }) => stage === "paused");
    expect(paused.faults.at(-1)).toMatchObject({ code: "signal.stuck" });
    expect(paused.commands).toEqual(expect.arrayContaining(["replace-kit", "add-point", "break"]));
    const asked = { command: "replace-kit", role: "reference", earlier: "flag", reason: "1108 is stuck" } as const;
    await expect(first.client.command(run, { ...asked, entry: "id: only" })).rejects.toMatchObject({ status: 400 });
    const replaced = await first.client.command(run, { ...asked, entry: spare });
    expect(replaced.route[0]).toMatchObject({ status: "trouble" });
    await first.stop();

    const second = await startStation(first.data);
    try {
      const broken = await second.client.runView(run);
      expect(broken.commands).toEqual(expect.arrayContaining(["resume", "repeat-point", "replace-kit"]));
      expect(broken.route[0]).toMatchObject({ status: "trouble" });
      const flagged = broken.route
        .filter((stop) => stop.status === "trouble" && stop.errors.length > 0)
        .map(({ point }) => point);
      for (const point of flagged)
        await second.client.command(run, {
          command: "repeat-point",
          pass: "as-found",
          point,
          reason: "measured with 1108",
        });
      const ended = await untilView(second.client, run, ({ stage }) => stage === "ended");
      expect(ended.outcome).toBe("completed");
      const { result } = await second.client.result(run);
      expect(result.kitChanges).toMatchObject([{ from: { serial: "1108" }, to: { serial: "1109" }, earlier: "flag" }]);
      expect(result.items[0]!.passes[0]!.points.map(({ status }) => status)).toEqual([
        "measured",
        "measured",
        "measured",
      ]);
      expect(result.closingCheck).toMatchObject({ status: "holds" });
    } finally {
      await second.stop();
    }
  }, 90_000);
});

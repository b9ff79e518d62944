import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { evaluate, parseLog } from "#calibration";
import { dwellpoint, exampleFile, exampleText, removeScratch, scratch, type Change } from "./program.test-support.ts";
import { startStation } from "./station.test-support.ts";

afterAll(removeScratch);

/** A tolerance that this kit cannot decide. */
const hopeless: readonly Change[] = [
  ["tolerance: {class: iec-60751/A, construction: wire-wound}", "tolerance: {kelvin: 0.005}"],
];
/** A probe that the bath is not deep enough for. */
const tooDeep: readonly Change[] = [["    immersion: 150", "    immersion: 350"]];

describe("a job that its own plan refuses", () => {
  it.each([
    ["job.cannot-prove", hopeless],
    ["kit.unfit", tooDeep],
  ])(
    "is refused by run as well (%s), unless a reason is given, which stands in the log with the name [E80]",
    async (code, changes) => {
      const folder = await scratch();
      const job = await exampleFile(folder, "pt100-four-wire", changes);
      const out = join(folder, "out");
      const refused = await dwellpoint(["run", job, "--out", out, "--speed", "max"]);
      expect(refused.code).toBe(1);
      expect(refused.error).toMatchObject({ code, message: expect.stringContaining("--although") });
      const words = ["run", job, "--out", out, "--speed", "max", "--seed", "5", "--operator", "Noor Castellan"];
      await dwellpoint([...words, "--although", "the works wants the figures"]);
      const [name] = (await readdir(out)).filter((each) => each.endsWith(".log.jsonl"));
      const log = parseLog((await readFile(join(out, name!), "utf8")).split("\n"));
      expect(log[0]).toMatchObject({
        overridden: [{ code, reason: "the works wants the figures", by: "Noor Castellan" }],
      });
      expect(evaluate(log).warnings).toContainEqual(
        expect.stringMatching(/although its plan refused it.*Noor Castellan/),
      );
    },
    60_000,
  );

  it("is refused by the station as well, and taken with a reason [E80]", async () => {
    const started = await startStation();
    try {
      const { job } = await started.client.addJob(await exampleText("pt100-four-wire", hopeless));
      await expect(started.client.startRun(job, { seed: 5 })).rejects.toMatchObject({
        problem: { code: "job.cannot-prove" },
      });
      const { run } = await started.client.startRun(job, { seed: 5, although: { reason: "a trial" } });
      const [opening] = (await started.client.events(run, [0])).events;
      expect(opening).toMatchObject({
        overridden: [{ code: "job.cannot-prove", reason: "a trial", by: "Orla Penhallow (demo)" }],
      });
    } finally {
      await started.stop();
    }
  }, 60_000);

  it("cannot set a limit aside [E80]", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire", [
      ["limits: {minimum: -40, maximum: 200}", "limits: {minimum: -40, maximum: 120}"],
    ]);
    const refused = await dwellpoint(["run", job, "--out", join(folder, "out"), "--although", "it will hold"]);
    expect(refused.error).toMatchObject({ code: "item.out-of-range" });
  });

  it("has its own limits read with the job, by line [E73]", async () => {
    const folder = await scratch();
    const job = await exampleFile(folder, "pt100-four-wire", [
      ["procedure:\n", "limits: {maximum: 120}\n\nprocedure:\n"],
    ]);
    const { error } = await dwellpoint(["plan", job]);
    const line = (await readFile(job, "utf8")).split("\n").findIndex((text) => text.includes("- temperature: 150")) + 1;
    expect(error).toMatchObject({ code: "job.invalid", message: expect.stringContaining(`:${line}`) });
    expect(error!.message).toContain("beyond the job's own limits");
  });
});

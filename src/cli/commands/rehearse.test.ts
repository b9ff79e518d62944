import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { ask, type Asked } from "./ask.test-support.ts";
import { rehearse } from "./rehearse.ts";

const home = join(import.meta.dirname, "../../..");
const folder = mkdtempSync(join(tmpdir(), "dwellpoint-rehearse-"));
afterAll(() => rmSync(folder, { recursive: true }));

const asked = (...words: readonly string[]): Promise<Asked> => ask(rehearse, "", words, home);

describe("rehearse", () => {
  it("prints a table of cells with the fields of the contract", { timeout: 120_000 }, async () => {
    const physics = join(folder, "physics.yaml");
    writeFileSync(physics, "setPoints:\n  bath: [40]\nlongestWait: 3600\n");
    const { code, text, errors } = await asked(
      "--cells",
      "bath/pt100",
      "--points",
      "2",
      "--seed",
      "4",
      "--threads",
      "1",
      "--physics",
      physics,
    );
    expect(code).toBe(0);
    const answer = JSON.parse(text);
    expect(answer).toMatchObject({
      seed: 4,
      complete: true,
      cells: [
        {
          source: "bath",
          item: "6 mm Pt100",
          points: 2,
          coverage: expect.any(Number),
          beyondTarget: expect.any(Number),
          minutes: { median: expect.any(Number), p90: expect.any(Number) },
          timeToOracle: expect.any(Number),
          timeToSoak20: expect.any(Number),
        },
      ],
      physics: { longestWait: 3600, setPoints: { bath: [40], furnace: [300, 400, 500, 600] } },
    });
    const lines = errors.trim().split("\n");
    expect(JSON.parse(lines.at(-1)!)).toMatchObject({ kind: "progress", done: 2, of: 2 });
  });

  it("prints a table for people, and a job's by set point", { timeout: 120_000 }, async () => {
    const job = join(home, "examples/pt100-four-wire.yaml");
    const { code, text } = await asked(job, "--runs", "1", "--table=set-points", "--threads", "1");
    expect(code).toBe(0);
    const lines = text.trim().split("\n");
    expect(lines[0]).toMatch(/^\| cell \| points \|/);
    expect(lines.filter((line) => line.includes("… "))).toHaveLength(5);
    expect(new Set(lines.map((line) => line.split("|").length)).size).toBe(1);
  });

  it("prints what is left to chance", async () => {
    const { code, text } = await asked("--physics-defaults");
    expect(code).toBe(0);
    expect(JSON.parse(text)).toMatchObject({ looseFit: null, fallingShare: 0.25, targetFraction: 0.2 });
  });

  it("names the line of a physics file that is wrong", async () => {
    const physics = join(folder, "wrong.yaml");
    writeFileSync(physics, "fallingShare: 0.1\nitemLag: [2, 1]\n");
    await expect(asked("--cells", "bath", "--physics", physics)).rejects.toThrow(
      /wrong\.yaml.*2.*the smaller number comes first/s,
    );
  });

  it.each([
    [[], /wants one job file, or --cells/],
    [["job.yaml", "--cells", "all"], /wants one job file, or --cells/],
    [["--cells", "pond"], /There is no cell "pond"/],
    [["--cells", "all", "--runs", "3"], /--runs goes with a job/],
    [["job.yaml", "--points", "3"], /--points goes with --cells/],
    [["--cells", "all", "--points", "0"], /--points wants a whole number/],
    [["--cells", "all", "--table=wide"], /--table stands alone/],
    [["--cells", "all", "--seed", "x"], /--seed wants a whole number/],
  ] as const)("refuses %j", async (words, message) => {
    await expect(asked(...words)).rejects.toThrow(message);
  });
});

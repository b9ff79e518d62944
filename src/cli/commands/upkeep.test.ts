import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough, Writable } from "node:stream";
import { afterAll, describe, expect, it } from "vitest";
import { ask } from "./ask.test-support.ts";
import { upkeep } from "./upkeep.ts";

const home = join(import.meta.dirname, "..", "..", "..");
const example = (name: string) => join(home, "examples", "upkeep", name);
const folder = mkdtempSync(join(tmpdir(), "dwellpoint-upkeep-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const conduct = async (name: string) => {
  const { code, text } = await ask(
    upkeep,
    "",
    ["run", example(name), "--out", folder, "--speed", "max", "--yes"],
    home,
  );
  expect(code).toBe(0);
  const { document, result } = JSON.parse(text) as { document: string; result: string };
  return {
    document,
    result: JSON.parse(readFileSync(result, "utf8")) as {
      figures: { figure: string; temperature: number; value: number; U: number }[];
      rehearsal: boolean;
    },
  };
};

const figure = ({ figures }: Awaited<ReturnType<typeof conduct>>["result"], name: string, temperature?: number) =>
  figures.find((each) => each.figure === name && (temperature ?? each.temperature) === each.temperature)!;

describe("upkeep run finds what is hidden in the twin, over real sockets", () => {
  it("a characterisation: axial −0.15 K over 40 mm, wells 0.05 K apart, loading −0.04 K, control +0.12 K", async () => {
    const { result } = await conduct("block-on-the-bench.yaml");
    for (const [name, hidden] of [
      ["axial", -0.15],
      ["radial", -0.05],
      ["loading", -0.04],
      ["control", 0.12],
    ] as const)
      for (const temperature of [80, 180, 300]) {
        const found = figure(result, name, temperature);
        expect(Math.abs(found.value - hidden)).toBeLessThanOrEqual(found.U);
      }
    expect(result.rehearsal).toBe(true);
  }, 60_000);

  it("a pull test: 0.02 % of 277 K lost at full depth", async () => {
    const found = figure((await conduct("pull-test-on-the-bench.yaml")).result, "conduction");
    expect(Math.abs(found.value + 2e-4 * 277)).toBeLessThanOrEqual(found.U);
  }, 60_000);

  it("two currents: 60 mK per mW, 0.1385 mW at 1 mA", async () => {
    const found = figure((await conduct("two-currents-on-the-bench.yaml")).result, "selfHeating");
    expect(Math.abs(found.value - 0.06 * 0.1385)).toBeLessThanOrEqual(found.U);
  }, 60_000);

  it("an ice point: 4 mΩ more, 10.2 mK; the document evaluates to the same again", async () => {
    const { document, result } = await conduct("ice-point-on-the-bench.yaml");
    const found = figure(result, "shift");
    expect(Math.abs(found.value - 0.004 / 0.39083)).toBeLessThanOrEqual(found.U);
    const again = await ask(upkeep, "", ["evaluate", document]);
    expect(JSON.parse(again.text)).toEqual(result);
  }, 60_000);

  it("asks nobody where nobody can answer, and says so", async () => {
    await expect(
      ask(upkeep, "", ["run", example("pull-test-on-the-bench.yaml"), "--out", folder, "--speed", "max"], home),
    ).rejects.toThrow("no terminal");
  });
});

/** A terminal at which somebody answers every question with a word. */
const atTerminal = async (word: string, signal: AbortSignal = new AbortController().signal) => {
  const stdin = Object.assign(new PassThrough(), { isTTY: true });
  let text = "";
  const stdout = Object.assign(
    new Writable({
      write(chunk: Buffer, _encoding, done) {
        text += chunk.toString();
        if (chunk.toString().endsWith("> ")) setImmediate(() => stdin.write(`${word}\n`));
        done();
      },
    }),
    { isTTY: true },
  );
  const words = ["run", example("pull-test-on-the-bench.yaml"), "--out", folder, "--speed", "max"];
  const ran = upkeep.run(words, { stdin, stdout, stderr: new PassThrough(), environment: {}, signal, home });
  return { code: await ran.catch((error: unknown) => error), text: () => text };
};

describe("at a terminal", () => {
  it("asks for each move with its caution, and says what came of it", async () => {
    const { code, text } = await atTerminal("done");
    expect(code).toBe(0);
    expect(text().match(/below 50 °C before you touch or move/g)!.length).toBeGreaterThanOrEqual(5);
    expect(text()).toContain("off at full depth");
  }, 60_000);

  it("breaks off when the person leaves, or the program is asked to stop, and evaluates nothing", async () => {
    for (const { code } of [await atTerminal("leave"), await atTerminal("done", AbortSignal.abort())])
      expect(code).toMatchObject({ code: "run.not-allowed" });
  });
});

describe("upkeep plan and evaluate", () => {
  it("plans the usual procedure of a job's source and of its reference", async () => {
    const job = join(home, "examples", "pt100-four-wire.yaml");
    const source = await ask(upkeep, "", ["plan", job, "characterisation", "--text"]);
    expect(source.text).toContain("never move a hot source".slice(6));
    expect(source.text).toContain("  1. ");
    for (const kind of ["pull-test", "self-heating", "reference-check"]) {
      const { code, text } = await ask(upkeep, "", ["plan", job, kind]);
      expect(code).toBe(0);
      expect((JSON.parse(text) as { steps: unknown[] }).steps.length).toBeGreaterThan(2);
    }
  });

  it.each(["ice-point.yaml", "two-currents.yaml", "pull-test.yaml"])(
    "evaluates the typed readings of %s",
    async (name) => {
      const { text } = await ask(upkeep, "", ["evaluate", example(name), "--text"]);
      expect(text).toMatch(/Orla|Tamsin/);
      const record = JSON.parse((await ask(upkeep, "", ["evaluate", example(name)])).text) as { figures: unknown[] };
      expect(record.figures.length).toBe(1);
    },
  );

  it("names the wrong field with its line", async () => {
    const path = join(folder, "wrong.yaml");
    writeFileSync(path, readFileSync(example("ice-point.yaml"), "utf8").replace("point: ice-point", "point: steam"));
    await expect(ask(upkeep, "", ["evaluate", path])).rejects.toThrow(/wrong\.yaml:\d+: point: .*steam/);
  });

  it.each([
    [[], "plan, evaluate, run or keep"],
    [["guess"], "guess"],
    [["plan"], "kit file"],
    [["plan", "x.yaml", "dance"], "dance"],
    [["evaluate"], "one file"],
    [["run", "x.yaml"], "--out"],
    [["keep", "x.yaml", "--approve"], "--by"],
    [["keep", "x.yaml", "--by", "Orla"], "--approve"],
    [["evaluate", "x", "--text", "--json"], "exclude each other"],
  ] as const)("refuses %j", async (words, says) => {
    await expect(ask(upkeep, "", words)).rejects.toThrow(new RegExp(says));
  });
});

import { readFileSync } from "node:fs";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough, Writable } from "node:stream";
import { describe, expect, it } from "vitest";
import { evaluateCommand } from "./evaluate.ts";

const home = new URL("../../../", import.meta.url).pathname;
const log = join(home, "test/fixtures/uncertainty/worked-run.jsonl");

const answer = async (...words: string[]): Promise<{ code: number; text: string }> => {
  let text = "";
  const stdout = new Writable({
    write(chunk: Buffer, _encoding, done) {
      text += chunk.toString();
      done();
    },
  });
  const code = await evaluateCommand.run(words, {
    stdin: new PassThrough(),
    stdout,
    stderr: new PassThrough(),
    environment: {},
    signal: new AbortController().signal,
    home,
  });
  return { code, text };
};

describe("evaluate LOG", () => {
  it("prints the result as one line of JSON", async () => {
    const { code, text } = await answer(log);
    expect(code).toBe(0);
    expect(text.endsWith("\n")).toBe(true);
    expect(text.trimEnd()).not.toContain("\n");
    const result = JSON.parse(text) as {
      format: string;
      items: { passes: { points: { reported: unknown; conformity: { decision: string } }[] }[] }[];
    };
    expect(result.format).toBe("dwellpoint-result/1");
    const [zero, hundred] = result.items[0]!.passes[0]!.points;
    // Digits kept since the log was written: the same log must give them for ever.
    expect([zero!.reported, hundred!.reported]).toEqual([
      { reference: "0.00", indication: "0.31", error: "0.31", U: "0.59", k: "2.00" },
      { reference: "100.04", indication: "100.66", error: "0.62", U: "0.58", k: "2.00" },
    ]);
    expect(hundred!.conformity.decision).toBe("pass");
  });

  it("explains a point as the science page shows it", async () => {
    const page = readFileSync(join(home, "docs/science/uncertainty.md"), "utf8");
    const shown =
      /```console\n\$ dwellpoint evaluate worked-run\.jsonl --explain TT-101\/as-found\/2\n([\s\S]*?)```/.exec(
        page,
      )?.[1];
    const { code, text } = await answer(log, "--explain", "TT-101/as-found/2");
    expect(code).toBe(0);
    expect(shown?.trimEnd()).toBe(text.trimEnd());
  });

  it("gives the derivation as JSON", async () => {
    const { text } = await answer(log, "--explain", "item-k/as-found/1", "--json");
    expect(JSON.parse(text)).toMatchObject({
      item: "item-k",
      tag: "TT-101",
      pass: "as-found",
      result: { status: "measured", nominal: 0 },
    });
  });

  it("validates each point by Monte Carlo, with the same digits each time and on threads", async () => {
    interface Validated {
      readonly validation: readonly { status: string; words: string; monteCarlo: { trials: number; u: number } }[];
    }
    const validated = async (...words: string[]): Promise<Validated["validation"]> =>
      (JSON.parse((await answer(log, "--monte-carlo", ...words)).text) as Validated).validation;
    const usual = await validated();
    expect(usual.map(({ status, monteCarlo }) => [status, monteCarlo.trials])).toEqual([
      ["validated", 20_000],
      ["validated", 20_000],
    ]);
    expect(usual[1]!.words).toMatch(
      /^Propagation and Monte Carlo \(20000 trials\) disagree: .* errs on the safe side\.$/,
    );
    expect(await validated("20000")).toEqual(usual);
    const many = await validated("300000");
    expect(many[1]!.monteCarlo.trials).toBe(300_000);
    expect((JSON.parse((await answer("--monte-carlo", log)).text) as Validated).validation).toEqual(usual);
    expect(
      (JSON.parse((await answer("--monte-carlo=5000", log)).text) as Validated).validation[0]!.monteCarlo.trials,
    ).toBe(5000);
  });

  it("names the line of a damaged log", async () => {
    const folder = await mkdtemp(join(tmpdir(), "dwellpoint-evaluate-"));
    try {
      const damaged = join(folder, "run.jsonl");
      const lines = readFileSync(log, "utf8").split("\n");
      await writeFile(damaged, [...lines.slice(0, 4), ...lines.slice(5)].join("\n"));
      await expect(answer(damaged)).rejects.toMatchObject({ code: "log.invalid", data: { line: 5 } });
    } finally {
      await rm(folder, { recursive: true });
    }
  });

  it.each([
    [["no-such-log.jsonl"], "input.invalid", /cannot be read \(ENOENT\)/],
    [[], "usage.wrong", /one log file/],
    [[log, log], "usage.wrong", /one log file/],
    [[log, "--explain", "TT-101/2"], "usage.wrong", /ITEM\/PASS\/POINT/],
    [[log, "--explain", "TT-101/as-found/0"], "usage.wrong", /ITEM\/PASS\/POINT/],
    [[log, "--json"], "usage.wrong", /--json belongs to --explain/],
    [[log, "--aloud"], "usage.wrong", /aloud/],
    [[log, "--monte-carlo", "10"], "usage.wrong", /--monte-carlo wants a whole number from 1000/],
    [[log, "--monte-carlo", "1.5e6.2"], "usage.wrong", /--monte-carlo wants/],
    [[log, "--monte-carlo", "--monte-carlo"], "usage.wrong", /twice/],
    [[log, "--monte-carlo", "--explain", "TT-101/as-found/1"], "usage.wrong", /not to --explain/],
    [[log, "--explain", "nobody/as-found/1"], "input.invalid", /no item "nobody"/],
    [[log, "--explain", "TT-101/as-left/1"], "run.not-allowed", /not measured/],
  ])("%j is %s", async (words, code, message) => {
    await expect(answer(...words)).rejects.toMatchObject({ code, message: expect.stringMatching(message) });
  });
});

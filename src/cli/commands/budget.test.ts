import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import block from "../../../test/fixtures/uncertainty/ea-4-02-s11.json" with { type: "json" };
import { ask } from "./ask.test-support.ts";
import { budget } from "./budget.ts";
import { decide } from "./decide.ts";

interface Answer {
  readonly value: number;
  readonly u: number;
  readonly dof: number | null;
  readonly k: number;
  readonly U: number;
  readonly level: number;
  readonly lines: readonly { name: string; u: number; dof: number | null; contribution: number; share: number }[];
  readonly advice: { dominant: readonly { name: string }[]; advice: readonly { kind: string; words: string }[] };
  readonly monteCarlo?: { mean: number; u: number; interval: readonly [number, number]; trials: number; seed: number };
  readonly error?: { code: string; message: string };
}

const answer = async (input: object | string): Promise<{ code: number; answer: Answer }> => {
  const { code, text } = await ask(budget, typeof input === "string" ? input : JSON.stringify(input));
  return { code, answer: JSON.parse(text) as Answer };
};

const two = [
  { name: "a", u: 3, value: 1, sensitivity: 2 },
  { name: "b", u: 4, value: 10, sensitivity: -1, dof: 8 },
];

describe("budget", () => {
  it("combines and expands: EA-4/02, S11, with Monte Carlo", async () => {
    const lines = block.budget.map(({ quantity, u_mK, distribution, c }) => ({
      name: quantity,
      u: u_mK / 1000,
      sensitivity: c,
      distribution,
    }));
    const { code, answer: given } = await answer({ lines, level: 0.95, monteCarlo: { trials: 200_000, seed: 11 } });
    expect(code).toBe(0);
    expect(given.u.toFixed(3)).toBe(block.published.u_C.toFixed(3));
    expect(given.dof).toBeNull();
    expect(given.k.toFixed(2)).toBe("1.96");
    expect(given.lines.map(({ contribution }) => Math.round(1000 * contribution))).toEqual(
      block.published.rounded_contributions_mK,
    );
    expect(given.lines.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
    expect(((given.monteCarlo!.interval[1] - given.monteCarlo!.interval[0]) / 2).toFixed(2)).toBe(
      block.published.U_C.toFixed(2),
    );
    expect(given.monteCarlo).toMatchObject({ trials: 200_000, seed: 11 });
    expect(given.advice.dominant.map(({ name }) => name)).toEqual(["dt_A", "dt_R"]);
  });

  it("takes correlations, degrees of freedom, a level and a given k", async () => {
    const { answer: given } = await answer({ lines: two, correlations: [{ a: "a", b: "b", r: 0.5 }] });
    expect(given.value).toBe(-8);
    expect(given.u).toBeCloseTo(Math.sqrt(36 + 16 - 24), 12);
    const agreed = (await answer({ lines: two, k: 3 })).answer;
    expect(agreed.U).toBeCloseTo(3 * agreed.u, 12);
    expect(agreed.level).toBeGreaterThan(0.99);
    expect((await answer({ lines: two, level: 0.99 })).answer.k).toBeGreaterThan(agreed.level * 2);
    expect((await answer({ lines: two.map((line) => ({ ...line, dof: null })) })).answer.dof).toBeNull();
  });

  it("gives the same digits for the same seed, an adaptive number of trials, and each distribution", async () => {
    const lines = ["normal", "rectangular", "triangular", "trapezoid", "u-shaped", "student"].map(
      (distribution, index) => ({
        name: distribution,
        distribution,
        u: 1 + index / 10,
        dof: 30,
      }),
    );
    const asked = { lines, monteCarlo: { trials: "adaptive", seed: 5 } };
    const [first, second] = [await ask(budget, JSON.stringify(asked)), await ask(budget, JSON.stringify(asked))];
    expect(second.text).toBe(first.text);
    const { monteCarlo, u } = JSON.parse(first.text) as Answer;
    expect(monteCarlo!.u / u).toBeCloseTo(1, 1);
    expect(monteCarlo).toMatchObject({ stable: true });
  });

  it("answers JSON Lines one by one, and one object over several lines", async () => {
    const { code, text } = await ask(budget, `${JSON.stringify({ lines: two })}\n{"lines":[]}\n`);
    expect(code).toBe(1);
    const [good, bad] = text
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line) as Answer);
    expect(good!.lines).toHaveLength(2);
    expect(bad!.error!.code).toBe("uncertainty.invalid");
    expect((await answer(JSON.stringify({ lines: two }, null, 2))).code).toBe(0);
  });

  it.each<[string, string, RegExp]>([
    ['{"lines":[{"name":"a","u":NaN}]}', "input.malformed", /not JSON/],
    ['{"lines":[{"name":"a","u":1e999}]}', "input.invalid", /lines\[0\]\.u/],
    ['{"lines":[{"name":"a","u":-1}]}', "uncertainty.invalid", /line 1 \("a"\)/],
    ['{"lines":[{"name":"a","u":1e308},{"name":"b","u":1e308,"sensitivity":9}]}', "uncertainty.invalid", /too large/],
    ['{"lines":[{"name":"a","u":1,"value":1e999}]}', "input.invalid", /lines\[0\]\.value/],
    [
      '{"lines":[{"name":"a","u":1,"value":1e308},{"name":"b","u":1,"value":1e308}]}',
      "uncertainty.invalid",
      /too large/,
    ],
    ['{"lines":[{"name":"a","u":1,"dof":0}]}', "uncertainty.invalid", /degrees of freedom/],
    ['{"lines":[{"name":"a","u":1,"dof":-3}]}', "uncertainty.invalid", /degrees of freedom/],
    ['{"lines":[{"name":"a","u":"1"}]}', "input.invalid", /finite number/],
    ['{"lines":[{"name":"a"}]}', "input.invalid", /needs "u"/],
    ['{"lines":[{"u":1}]}', "input.invalid", /name/],
    ['{"lines":[{"name":"a","u":1,"distribution":"cauchy"}]}', "input.invalid", /one of normal/],
    ['{"lines":[{"name":"a","u":1,"sensitivty":2}]}', "input.invalid", /sensitivty/],
    ['{"lines":[1]}', "input.invalid", /lines\[0\]/],
    ['{"lines":{}}', "input.invalid", /a list/],
    ["{}", "input.invalid", /lines/],
    ["[]", "input.invalid", /object/],
    ["", "input.malformed", /JSON/],
    ["null", "input.invalid", /object/],
    ['{"lines":[{"name":"a","u":1}],"level":1}', "uncertainty.invalid", /between 0 and 1/],
    ['{"lines":[{"name":"a","u":1}],"level":-0}', "uncertainty.invalid", /between 0 and 1/],
    ['{"lines":[{"name":"a","u":1}],"k":0}', "uncertainty.invalid", /coverage factor/],
    ['{"lines":[{"name":"a","u":1}],"k":1e999}', "input.invalid", /"k"/],
    ['{"lines":[{"name":"a","u":1}],"correlations":[{"a":"a","b":"z","r":0}]}', "uncertainty.invalid", /"z"/],
    [
      '{"lines":[{"name":"a","u":1},{"name":"b","u":1}],"correlations":[{"a":"a","b":"b","r":1.01}]}',
      "uncertainty.invalid",
      /-1 to 1/,
    ],
    ['{"lines":[{"name":"a","u":1}],"correlations":[{"a":"a","b":"b"}]}', "input.invalid", /"r"/],
    ['{"lines":[{"name":"a","u":1}],"monteCarlo":{"trials":10}}', "uncertainty.invalid", /1000 to 10000000/],
    ['{"lines":[{"name":"a","u":1}],"monteCarlo":{"trials":"many"}}', "input.invalid", /monteCarlo\.trials/],
    ['{"lines":[{"name":"a","u":1}],"monteCarlo":{"trials":5000,"seed":1e999}}', "input.invalid", /monteCarlo\.seed/],
    ['{"lines":[{"name":"a","u":1}],"monteCarlo":{"trial":5000}}', "input.invalid", /monteCarlo/],
    ['{"lines":[{"name":"a","u":1}],"monteCarlo":5000}', "input.invalid", /monteCarlo/],
  ])("answers %s with an error", async (input, code, message) => {
    const given = await answer(input);
    expect(given.code).toBe(1);
    expect(given.answer.error).toMatchObject({ code, message: expect.stringMatching(message) });
  });

  it("is not troubled by very many degrees of freedom, -0 and no uncertainty at all", async () => {
    const many = (await answer('{"lines":[{"name":"a","u":1,"dof":1e308,"value":-0},{"name":"b","u":-0}]}')).answer;
    expect(many.k).toBeCloseTo(2, 3);
    expect(many.value).toBe(0);
    const none = (await answer('{"lines":[{"name":"a","u":0}]}')).answer;
    expect(none).toMatchObject({ u: 0, U: 0, lines: [{ share: 0 }] });
  });

  it("takes no words", () => {
    expect(() => budget.run(["file.json"], {} as never)).toThrow(expect.objectContaining({ code: "usage.wrong" }));
  });
});

describe.each([
  ["monte-carlo.md", 1],
  ["conformity.md", 2],
] as const)("examples in docs/science/%s", (name, count) => {
  const page = readFileSync(new URL(`../../../docs/science/${name}`, import.meta.url), "utf8");
  const examples = [...page.matchAll(/```console\n\$ echo '(.*)' \| dwellpoint (budget|decide)\n(.*)\n```/g)];

  it("are there", () => expect(examples).toHaveLength(count));

  it.each(examples.map(([, input, command, output]) => [command!, input!, output!] as const))(
    "dwellpoint %s: %s",
    async (command, input, output) => {
      expect((await ask(command === "budget" ? budget : decide, `${input}\n`)).text).toBe(`${output}\n`);
    },
  );
});

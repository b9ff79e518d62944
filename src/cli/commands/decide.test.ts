import { describe, expect, it } from "vitest";
import { ask } from "./ask.test-support.ts";
import { decide } from "./decide.ts";

interface Answer {
  readonly decision: string;
  readonly conformanceProbability: number;
  readonly acceptance: { lower: number | null; upper: number | null } | null;
  readonly specificRisk: number | null;
  readonly globalRisk?: { consumer: number; producer: number };
  readonly prior?: { mean: number; sd: number };
  readonly statements: { specific: string; global?: string };
  readonly error?: { code: string; message: string };
}

const answer = async (input: object | string): Promise<{ code: number; answer: Answer }> => {
  const { code, text } = await ask(decide, typeof input === "string" ? input : JSON.stringify(input));
  return { code, answer: JSON.parse(text) as Answer };
};

const one = { value: 0.9, u: 0.1, lower: -1, upper: 1 };

describe("decide", () => {
  it.each<[object, string, number | null]>([
    [{ kind: "simple" }, "pass", 1],
    [{ kind: "guard-band", factor: 1, k: 2 }, "fail", 0.8],
    [{ kind: "guard-band" }, "fail", 0.8],
    [{ kind: "guard-band", factor: 0.5, k: 2 }, "pass", 0.9],
    [{ kind: "guard-band", factor: 6 }, "undecided", null],
    [{ kind: "uncritical" }, "pass", 1.2],
    [{ kind: "specific-risk", limit: 0.02 }, "fail", 0.7946],
    [{ kind: "specific-risk", limit: 0.2 }, "pass", 0.9158],
    [{ kind: "g8-non-binary" }, "conditional-pass", 0.8],
  ])("0.9 ± 0.1 within ±1 under %j: %s", async (rule, decision, upper) => {
    const { code, answer: given } = await answer({ ...one, rule });
    expect(code).toBe(0);
    expect(given.decision).toBe(decision);
    // p_c = 0.84134 at y = 0.9, u = 0.1, TL = 1 (computed from the normal distribution).
    expect(given.conformanceProbability).toBeCloseTo(0.84134, 5);
    expect(given.acceptance === null ? null : Number(given.acceptance.upper!.toFixed(4))).toBe(upper);
    expect(given.globalRisk).toBeUndefined();
  });

  it("agrees with JCGM 106:2012, 7.4: limits 12.5 to 16.3, y = 13.6, u = 1.8", async () => {
    const { answer: given } = await answer({ value: 13.6, u: 1.8, lower: 12.5, upper: 16.3, rule: { kind: "simple" } });
    expect(given.conformanceProbability).toBeCloseTo(0.6626, 4);
  });

  it("takes limits on one side only", async () => {
    const { answer: given } = await answer({ value: 4.7, u: 0.1, upper: 5, rule: { kind: "guard-band" } });
    expect(given).toMatchObject({ decision: "pass", acceptance: { lower: null, upper: 4.8 } });
    const below = (await answer({ value: 4.7, u: 0.1, lower: 4.6, rule: { kind: "g8-non-binary" } })).answer;
    expect(below).toMatchObject({ decision: "conditional-pass", acceptance: { lower: 4.8, upper: null } });
  });

  it("tells specific and global risk apart, each with its own sentence", async () => {
    // Tolerance 0.2, prior 0.12, u 0.04: 1.894 % and 3.720 % (computed; common practice).
    const input = {
      value: 0.05,
      u: 0.04,
      lower: -0.2,
      upper: 0.2,
      rule: { kind: "simple" },
      prior: { mean: 0, sd: 0.12 },
    };
    const { answer: given } = await answer(input);
    expect(given.globalRisk!.consumer).toBeCloseTo(0.01894, 5);
    expect(given.globalRisk!.producer).toBeCloseTo(0.0372, 4);
    expect(given.specificRisk).toBeLessThan(0.001);
    expect(given.statements.specific).toMatch(/^Specific risk: .* this very item does not conform/);
    expect(given.statements.global).toMatch(/^Global risk, before any measurement: 1\.89 % .*consumer.* 3\.72 %/);
    const another = (await answer({ ...input, value: 0.19 })).answer;
    expect(another.globalRisk).toEqual(given.globalRisk);
    expect(another.specificRisk).not.toBe(given.specificRisk);
  });

  it("makes the prior from a history or a reliability, and draws in the limits for a global risk", async () => {
    const base = { value: 0, u: 0.25, lower: -1, upper: 1 };
    const reliable = (
      await answer({ ...base, rule: { kind: "global-risk", limit: 0.02 }, prior: { reliability: 0.8 } })
    ).answer;
    // Ratio 2, reliability 0.80: acceptance 0.9055 (computed; common practice).
    expect(reliable.acceptance!.upper!.toFixed(4)).toBe("0.9055");
    expect(reliable.globalRisk!.consumer).toBeCloseTo(0.02, 8);
    const history = (await answer({ ...base, rule: { kind: "simple" }, prior: { history: [1, 2, 3], u: 0.6 } })).answer;
    expect(history.prior!.mean).toBe(2);
    expect(history.prior!.sd).toBeCloseTo(0.8, 12);
  });

  it("gives no global risk where nothing is accepted: undecided is no fail", async () => {
    const { answer: given } = await answer({
      value: 40,
      u: 0.6,
      lower: -1,
      upper: 1,
      rule: { kind: "guard-band" },
      prior: { mean: 0, sd: 1 },
    });
    expect(given).toMatchObject({ decision: "undecided", acceptance: null, specificRisk: null });
    expect(given.globalRisk).toBeUndefined();
    expect(given.statements.specific).toMatch(/not a fail/);
  });

  it("counts few degrees of freedom", async () => {
    const few = (await answer({ ...one, dof: 3, rule: { kind: "simple" } })).answer;
    expect(few.conformanceProbability).toBeLessThan(0.84);
    expect((await answer({ ...one, dof: null, rule: { kind: "simple" } })).answer.conformanceProbability).toBeCloseTo(
      0.84134,
      5,
    );
    expect((await answer({ ...one, dof: 1e308, rule: { kind: "simple" } })).answer.conformanceProbability).toBeCloseTo(
      0.84134,
      5,
    );
  });

  const simple = '"rule":{"kind":"simple"}';
  it.each<[string, string, RegExp]>([
    [`{"value":NaN,"u":1,"upper":1,${simple}}`, "input.malformed", /JSON/],
    [`{"value":1e999,"u":1,"upper":1,${simple}}`, "input.invalid", /"value"/],
    [`{"value":1,"u":1e999,"upper":1,${simple}}`, "input.invalid", /"u"/],
    [`{"value":1,"u":-1,"upper":1,${simple}}`, "uncertainty.invalid", /0 or more/],
    [`{"value":1,"upper":1,${simple}}`, "input.invalid", /"u"/],
    [`{"u":1,"upper":1,${simple}}`, "input.invalid", /"value"/],
    [`{"value":1,"u":1,${simple}}`, "uncertainty.invalid", /lower limit, an upper limit or both/],
    [`{"value":1,"u":1,"lower":2,"upper":1,${simple}}`, "uncertainty.invalid", /above the upper/],
    [`{"value":1,"u":1,"upper":1e999,${simple}}`, "input.invalid", /"upper"/],
    [`{"value":1,"u":1,"dof":0,"upper":1,${simple}}`, "uncertainty.invalid", /degrees of freedom/],
    ['{"value":1,"u":1,"upper":1}', "input.invalid", /rule\.kind/],
    ['{"value":1,"u":1,"upper":1,"rule":{"kind":"constructor"}}', "input.invalid", /rule\.kind/],
    ['{"value":1,"u":1,"upper":1,"rule":{"kind":"simple","k":2}}', "input.invalid", /"k"/],
    ['{"value":1,"u":1,"upper":1,"rule":{"kind":"guard-band","factor":-1}}', "input.invalid", /factor/],
    ['{"value":1,"u":1,"upper":1,"rule":{"kind":"guard-band","k":1e999}}', "input.invalid", /rule\.k/],
    ['{"value":1,"u":1e308,"upper":1,"rule":{"kind":"guard-band"}}', "uncertainty.invalid", /guard band/],
    ['{"value":1,"u":1,"upper":1,"rule":{"kind":"specific-risk","limit":0}}', "uncertainty.invalid", /specific risk/],
    ['{"value":1,"u":1,"upper":1,"rule":{"kind":"global-risk"}}', "input.invalid", /needs a prior/],
    [`{"value":1,"u":1,"upper":1,${simple},"prior":{"mean":0,"sd":0}}`, "uncertainty.invalid", /above 0/],
    [`{"value":1,"u":1,"upper":1,${simple},"prior":{"mean":0}}`, "input.invalid", /"sd"/],
    [`{"value":1,"u":1,"upper":1,${simple},"prior":{}}`, "input.invalid", /one of them/],
    [`{"value":1,"u":1,"upper":1,${simple},"prior":{"reliability":0.9}}`, "input.invalid", /symmetric/],
    [`{"value":1,"u":1,"upper":1,${simple},"prior":{"history":[1,"2"]}}`, "input.invalid", /prior\.history/],
    [`{"value":1,"u":1,"upper":1,${simple},"prior":{"history":[]}}`, "uncertainty.invalid", /too short/],
    [
      `{"value":1,"u":1e308,"upper":1,${simple},"prior":{"mean":0,"sd":1e-308}}`,
      "uncertainty.invalid",
      /too different/,
    ],
    [`{"value":1,"u":1,"upper":1,${simple},"rule2":1}`, "input.invalid", /rule2/],
  ])("answers %s with an error", async (input, code, message) => {
    const given = await answer(input);
    expect(given.code).toBe(1);
    expect(given.answer.error).toMatchObject({ code, message: expect.stringMatching(message) });
  });

  it("takes a value without uncertainty, -0, and numbers as large as they come", async () => {
    expect((await answer('{"value":-0,"u":0,"lower":0,"rule":{"kind":"simple"}}')).answer).toMatchObject({
      decision: "pass",
      conformanceProbability: 1,
      specificRisk: 0,
    });
    expect((await answer('{"value":1e308,"u":1,"upper":1,"rule":{"kind":"simple"}}')).answer).toMatchObject({
      decision: "fail",
      conformanceProbability: 0,
    });
  });

  it("takes no words", () => {
    expect(() => decide.run(["file.json"], {} as never)).toThrow(expect.objectContaining({ code: "usage.wrong" }));
  });
});

import { describe, expect, it } from "vitest";
import { Deviation } from "./deviation.ts";
import { aluminiumRatio, deviationBasis, fittedCoefficients } from "./deviation-basis.ts";
import { subranges } from "./subrange.ts";

describe.each(subranges)("basis of subrange $number", (subrange) => {
  const names = fittedCoefficients(subrange);
  const values = names.map((_, index) => (index % 2 === 0 ? 1e-4 : -3e-5) / (index + 1));
  const named = (name: string): number => values[names.indexOf(name)] ?? 0;
  const aluminium = 3.376;
  const deviation = new Deviation({
    a: named("a"),
    b: named("b"),
    c: named("c"),
    d: named("d"),
    aluminium: names.includes("d") ? aluminium : Number.POSITIVE_INFINITY,
    mixed: subrange.number === 4,
    logarithmic: names.filter((name) => /^c\d$/.test(name)).map(named),
    logarithmPower: subrange.logarithmPower ?? 0,
  });

  it.each([0.01, 0.2, 0.85, 1, 1.4, 3.37, 4.2])("is what its coefficients are multiplied by at W = %d", (ratio) => {
    const sum = deviationBasis(subrange, ratio, aluminium).reduce((total, term, i) => total + term * values[i]!, 0);
    expect(sum).toBeCloseTo(deviation.value(ratio), 15);
  });

  it("has all coefficients of the subrange but W_Al, which is not determined by itself", () =>
    expect(fittedCoefficients(subrange)).toEqual(subrange.coefficients.filter((name) => !name.startsWith("W"))));
});

it("begins the last term of subrange 6 at Wr of aluminium (ITS-90, Table 1)", () => {
  expect(aluminiumRatio()).toBeCloseTo(3.3760086, 7);
});

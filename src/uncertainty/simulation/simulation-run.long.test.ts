import { describe, expect, it } from "vitest";
import { simulate } from "./simulate.ts";

// Apart from its neighbours because it uses up all the trials there are: mutation testing leaves it out.
describe("the number of trials, JCGM 101:2008, 7.9 [U18]", () => {
  it("ends at the greatest number, and says that it is not stable, where the moments do not exist", () => {
    const heavy = [{ name: "x", u: 1, dof: 0.8, distribution: "student" as const }];
    const result = simulate((x) => x[0]!, heavy, { trials: "adaptive", seed: 79, level: 0.5 });
    // Without a mean the results never settle: either the number runs out, or a trial is too large for a number.
    expect(result.ok ? result.value.stable : false).toBe(false);
  }, 30_000);
});

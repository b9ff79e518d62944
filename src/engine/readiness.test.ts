import { describe, expect, it } from "vitest";
import { inventedJob } from "./analytic-bench.test-support.ts";
import { checkReadiness, obstaclesOf } from "./readiness.ts";

describe("what stands in the way of a run", () => {
  it("nothing, where the kit covers day and points [E11]", () => {
    expect(checkReadiness(inventedJob(), "2026-06-01")).toEqual({ ok: true, value: null });
  });

  it.each(["2026-01-10", "2027-01-10"])("the days of certificate and due date count as covered: %s [E11]", (day) => {
    expect(checkReadiness(inventedJob(), day).ok).toBe(true);
  });

  it("a reference out of calibration is refused, and the sentence says what to do [E11]", () => {
    const answer = checkReadiness(inventedJob(), "2027-01-11");
    expect(answer).toMatchObject({ ok: false, fault: { code: "kit.out-of-calibration" } });
    expect(!answer.ok && answer.fault.message).toBe(
      "Reference R-1 (reference probe) was due for calibration on 2027-01-10, and the work is on 2027-01-11. Use another one, or have it calibrated and enter the new certificate.",
    );
  });

  it("a certificate from the future is refused [E11]", () => {
    expect(checkReadiness(inventedJob(), "2026-01-09")).toMatchObject({
      ok: false,
      fault: { code: "kit.out-of-calibration" },
    });
  });

  it("every point outside a range or limit is named [E11]", () => {
    const job = inventedJob({ procedure: { points: [{ temperature: -60 }, { temperature: 230 }] } });
    const codes = obstaclesOf(job, "2026-06-01").map(({ code }) => code);
    expect(codes).toEqual([
      "kit.out-of-range",
      "kit.out-of-range",
      "item.out-of-range",
      "kit.out-of-range",
      "item.out-of-range",
    ]);
  });
});

import { describe, expect, it } from "vitest";
import { readNumber, readRows } from "./typed-rows.ts";

const columns = [
  { name: "fixed", label: "Thermometer that stays", unit: "°C" },
  { name: "moved", label: "Moved thermometer", unit: "°C" },
];

describe("readings that are typed or pasted", () => {
  it("are lines of seconds and values, whatever stands between them", () => {
    const { readings, count, wrong } = readRows("0 100.01 100.02\n5\t100.02;100.03\n\n10 100,01 100,04\n", columns);
    expect(wrong).toBeNull();
    expect(count).toBe(3);
    expect(readings).toEqual({ time: [0, 5, 10], fixed: [100.01, 100.02, 100.01], moved: [100.02, 100.03, 100.04] });
  });

  it("say which line is wrong, and what it must be", () => {
    expect(readRows("0 100.01 100.02\n5 100.01", columns).wrong).toContain("Line 2");
    expect(readRows("0 100.01 warm", columns).wrong).toContain("2 values");
    expect(readRows("0 1 2", columns.slice(0, 1)).wrong).toContain("one value");
  });

  it("are numbers only where they are whole numbers of themselves", () => {
    expect([readNumber("−1,5"), readNumber("1e-3"), readNumber("1.2.3"), readNumber(""), readNumber("12a")]).toEqual([
      -1.5,
      0.001,
      null,
      null,
      null,
    ]);
  });
});

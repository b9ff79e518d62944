import { expect, test } from "vitest";
import { unitShown } from "./unit-shown.ts";

const reads = ["Ω", "mV", "°C"].map((unit) => ({ unit, first: 1, last: 8 }));
const tried = (unit: string, value: number | null) => ({ unit, input: 1, value, wire: null, fault: null });

test("the unit that gave a value is shown first", () => {
  expect(unitShown({ reads }, [tried("Ω", null), tried("mV", 0), tried("°C", 21)])).toBe("mV");
});

test("where nothing gave a value it is the entry's first", () => {
  expect(unitShown({ reads }, [tried("Ω", null), tried("mV", null)])).toBe("Ω");
  expect(unitShown({ reads }, [])).toBe("Ω");
});

test("an entry that reads nothing shows nothing", () => {
  expect(unitShown({ reads: [] }, [])).toBeNull();
});

import { expect, test } from "vitest";
import { readJobSearch } from "./job-search.ts";

test("what an address can be used for is taken, the rest is left", () => {
  expect(readJobSearch({ stage: "judge", run: "R-1", stop: "as-left.2", item: "TT-1", other: "x" })).toEqual({
    stage: "judge",
    run: "R-1",
    stop: "as-left.2",
    item: "TT-1",
  });
  expect(readJobSearch({ stage: "cook", run: "", stop: null })).toEqual({});
});

test("a name made of digits is still a name", () => {
  expect(readJobSearch({ item: 12, run: 7 })).toEqual({ item: "12", run: "7" });
});

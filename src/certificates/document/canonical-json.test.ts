import { expect, test } from "vitest";
import { canonicalText, type Json } from "./canonical-json.ts";

// RFC 8785, sections 3.2.2 and 3.2.3 (from memory): the sample object and its canonical form.
test("gives the canonical form of the sample in RFC 8785", () => {
  const sample = JSON.parse(
    '{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],"string":"\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/","literals":[null,true,false]}',
  ) as Json;
  expect(canonicalText(sample)).toBe(
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
  );
});

test("sorts keys by UTF-16 code units at every depth, and leaves out what is undefined", () => {
  expect(canonicalText({ b: { z: 1, a: 2 }, a: undefined, "\u20ac": 1, "1": 2, "\ufb33": 3, "\u{1f600}": 4 })).toBe(
    '{"1":2,"b":{"a":2,"z":1},"\u20ac":1,"\u{1f600}":4,"\ufb33":3}',
  );
});

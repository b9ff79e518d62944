import { expect, test } from "vitest";
import { hearLive, lineCutter, nothingHeard, type LiveState } from "./live-state.ts";

const value = { unit: "Ω", input: 1, value: 100.1, wire: "+1.001E+2", fault: null };
const live: LiveState = hearLive(
  hearLive(nothingHeard, { kind: "said", said: "Invented,Readout,1,1", fault: null }, 1000),
  { kind: "values", values: [value] },
  2000,
);

test("what it is and what it reads are shown with the time of the values", () => {
  expect(live).toEqual({
    link: "live",
    said: "Invented,Readout,1,1",
    trouble: null,
    values: [value],
    heardAt: 2000,
    why: null,
  });
});

test("a trouble leaves name and last values standing with their age, and goes with the next values", () => {
  const fault = { code: "instrument.closed", message: "The connection was lost." };
  const troubled = hearLive(live, { kind: "said", said: null, fault }, 9000);
  expect(troubled).toEqual({ ...live, trouble: "The connection was lost." });
  expect(hearLive(troubled, { kind: "values", values: [value] }, 9500)).toEqual({ ...live, heardAt: 9500 });
});

test("the end says why", () => {
  expect(hearLive(live, { kind: "ended", why: "Run R-1 has begun." }, 3000)).toEqual({
    ...live,
    link: "ended",
    why: "Run R-1 has begun.",
  });
});

test("lines are cut from pieces of any length, and nothing is lost or said twice", () => {
  const text = '{"a":1}\n{"b":"°C"}\n\n{"c":3}\n';
  for (let size = 1; size <= text.length; size += 1) {
    const cut = lineCutter();
    const lines: string[] = [];
    for (let from = 0; from < text.length; from += size) lines.push(...cut(text.slice(from, from + size)));
    expect(lines).toEqual(['{"a":1}', '{"b":"°C"}', '{"c":3}']);
  }
  expect(lineCutter()("half a li")).toEqual([]);
});

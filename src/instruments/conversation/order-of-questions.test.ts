import { setTimeout as after } from "node:timers/promises";
import { expect, it } from "vitest";
import { openBench } from "./open-bench.ts";
import { polite, readoutEntry, stages, transcript } from "./scripted-instrument.test-support.ts";

const [, overTcp] = stages[1]!;

it("asks one question at a time on a wire, in order, and different instruments side by side", async () => {
  const open = new Map<string, number>();
  let together = 0;
  const stand = (name: string) =>
    overTcp(
      polite(async (_message, { say }) => {
        open.set(name, (open.get(name) ?? 0) + 1);
        expect(open.get(name)).toBe(1);
        if ((open.get("a") ?? 0) > 0 && (open.get("b") ?? 0) > 0) together += 1;
        await after(20);
        open.set(name, 0);
        say("+1.0\n");
      }),
    );
  const [a, b] = await Promise.all([stand("a"), stand("b")]);
  const entry = readoutEntry({ timeout: 2 });
  const notes = transcript();
  let time = 100;
  const bench = openBench({
    instruments: [
      { id: "a", entry: entry.entry, at: a.at, role: "readout" },
      { id: "b", entry: entry.entry, at: b.at, role: "readout" },
    ],
    channels: {
      one: { instrument: "a", input: 1, unit: "Ω" },
      two: { instrument: "a", input: 2, unit: "mV" },
      three: { instrument: "b", input: 3, unit: "Ω" },
    },
    entries: [entry],
    connect: (instrument) => (instrument.id === "a" ? a : b).connect(instrument),
    clock: { now: () => (time += 1) },
    observe: notes.observe,
  });
  // Asked for twice at once: the second reading waits for the first.
  const [first, second] = await Promise.all([bench.read(["two", "three", "one"]), bench.read(["one"])]);
  expect(first.map(({ channel }) => channel)).toEqual(["two", "three", "one"]);
  expect(second.map(({ outcome }) => outcome.ok)).toEqual([true]);
  expect(together).toBeGreaterThan(0);
  const asked = notes.lines.filter((line) => line.startsWith("> MEAS"));
  expect(asked.indexOf("> MEASure:VOLTage:DC? (@2)")).toBeLessThan(asked.lastIndexOf("> MEASure:FRESistance? (@1)"));
  expect(asked).toHaveLength(4);
  await bench.close();
  await Promise.all([a.close(), b.close()]);
});

it("keeps the digits of the wire and moves only the decimal point", async () => {
  const stage = await overTcp(polite((_message, { say }) => say(" +0.0161234 \r\n")));
  const entry = readoutEntry({ timeout: 2 });
  let time = 9;
  const bench = openBench({
    instruments: [{ id: "a", entry: entry.entry, at: stage.at, role: "readout" }],
    channels: { "item-1": { instrument: "a", input: 1, unit: "mV" } },
    entries: [entry],
    connect: stage.connect,
    clock: { now: () => (time += 1) },
  });
  const [answer] = await bench.read(["item-1"]);
  // Asked at 10, answered at 11.
  expect(answer).toEqual({
    channel: "item-1",
    time: 10.5,
    outcome: { ok: true, value: { value: 16.1234, wire: "+0.0161234" } },
  });
  await bench.close();
  await stage.close();
});

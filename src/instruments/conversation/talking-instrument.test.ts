import { afterEach, describe, expect, it } from "vitest";
import { scaledClock, startSimulatedBench } from "#bench";
import { unwrap } from "#fault";
import { instrumentEntrySchema, type InstrumentEntry } from "../drivers/entry.ts";
import { connectWire } from "../transports/connect.ts";
import { openBench } from "./open-bench.ts";
import { transcript } from "./scripted-instrument.test-support.ts";

const entry = (changes: object = {}): InstrumentEntry =>
  instrumentEntrySchema.parse({
    entry: "talker",
    revision: 1,
    title: "Thermometer that talks",
    dialogue: "talk-only",
    role: "readout",
    transport: [{ kind: "tcp-socket" }, { kind: "serial" }],
    timeout: 0.4,
    retries: 0,
    every: 0.1,
    read: { "°C": { line: "CH{input} {value} C", answers: "°C", inputs: { first: 1, last: 4 } } },
    ...changes,
  });

const opened: { close(): Promise<void> }[] = [];
afterEach(async () => {
  for (const each of opened.splice(0).reverse()) await each.close();
});

/** A bench on a wire that the test itself speaks on. */
const onWire = (own: InstrumentEntry, now = () => performance.now() / 1000) => {
  let say: ((text: string) => void) | null = null;
  let hangUp: (() => void) | null = null;
  let connections = 0;
  const notes = transcript();
  const bench = openBench({
    instruments: [{ id: "talker", entry: "talker", at: "tcp://127.0.0.1:9", role: "readout" }],
    channels: {
      a: { instrument: "talker", input: 1, unit: "°C" },
      b: { instrument: "talker", input: 2, unit: "°C" },
    },
    entries: [own],
    connect: async () => {
      connections += 1;
      return {
        ok: true,
        value: {
          listen(to) {
            say = (text) => to.bytes(Uint8Array.from(text, (character) => character.charCodeAt(0)));
            hangUp = () => to.closed("pulled");
          },
          send: () => expect.unreachable("an instrument that only talks is sent nothing"),
          close: () => undefined,
        },
      };
    },
    clock: { now },
    observe: notes.observe,
  });
  opened.push(bench);
  return {
    bench,
    notes,
    say: (text: string) => say?.(text),
    hangUp: () => hangUp?.(),
    connections: () => connections,
  };
};

it("the first piece may be half a line, and is thrown away", async () => {
  const { bench, say, notes } = onWire(entry());
  await bench.prepare();
  say("4.44 C\nCH1 23.5 C\n");
  expect((await bench.read(["a"]))[0]!.outcome).toEqual({ ok: true, value: { value: 23.5, wire: "23.5" } });
  expect(notes.lines).toContain("! 4.44 C");
});

it("a line belongs to its input, is given once, and carries the time at which it was heard", async () => {
  let time = 100;
  const { bench, say } = onWire(entry({ every: 10, timeout: 0.2 }), () => time);
  await bench.prepare();
  say("\nCH2 50.1 C\nCH1 23.5 C\n");
  time = 104;
  const [a, b] = await bench.read(["a", "b"]);
  expect([a!.time, b!.time]).toEqual([100, 100]);
  expect(b!.outcome).toMatchObject({ ok: true, value: { value: 50.1 } });
  const next = bench.read(["a"]);
  say("CH1 23.6 C\n");
  expect((await next)[0]!.outcome).toMatchObject({ ok: true, value: { value: 23.6 } });
});

it("an old line is not a reading", async () => {
  let time = 0;
  const { bench, say } = onWire(entry({ every: 1, timeout: 0.2 }), () => time);
  await bench.prepare();
  say("\nCH1 10 C\n");
  time = 5;
  const next = bench.read(["a"]);
  say("CH1 11 C\n");
  expect((await next)[0]!.outcome).toMatchObject({ ok: true, value: { value: 11 } });
});

it("silence and lines of another shape are told apart", async () => {
  const { bench, say } = onWire(entry());
  await bench.prepare();
  expect((await bench.read(["a"]))[0]!.outcome).toMatchObject({ ok: false, fault: { code: "instrument.timeout" } });
  say("\nTEMP 23.5\n");
  expect((await bench.read(["a"]))[0]!.outcome).toMatchObject({
    ok: false,
    fault: { code: "instrument.garbled", message: expect.stringContaining('answered "TEMP 23.5"') },
  });
});

it("a wire that goes is said, and the next reading connects again", async () => {
  const { bench, hangUp, say, connections } = onWire(entry());
  await bench.prepare();
  const reading = bench.read(["a"]);
  await Promise.resolve();
  hangUp();
  expect((await reading)[0]!.outcome).toMatchObject({ ok: false, fault: { code: "instrument.closed" } });
  const again = bench.read(["a"]);
  await new Promise((resolve) => setTimeout(resolve, 10));
  say("\nCH1 9 C\n");
  expect((await again)[0]!.outcome).toMatchObject({ ok: true, value: { value: 9 } });
  expect(connections()).toBe(2);
});

it("cannot be told anything", async () => {
  const { bench } = onWire(entry());
  expect(await bench.switchOutput(false)).toMatchObject({ ok: false });
  expect(await bench.prepare()).toMatchObject({
    value: [{ identification: "Thermometer that talks (talks only: it cannot be asked what it is)" }],
  });
});

describe.each(["tcp", "serial"] as const)("the twin over %s", (where) => {
  it("talks to all who listen", async () => {
    const bench = await startSimulatedBench({
      instruments: [{ id: "talker", role: "readout", entry: "talker" }],
      entries: [entry()],
      channels: { junction: { instrument: "talker", input: 1, unit: "°C" } },
      clock: scaledClock({ speed: 1 }),
      listen: where === "serial" ? { serial: ["talker"] } : {},
    });
    opened.push(bench);
    const listen = () => {
      const port = openBench({
        instruments: [{ id: "talker", entry: "talker", at: bench.addresses["talker"]!, role: "readout" }],
        channels: { a: { instrument: "talker", input: 1, unit: "°C" } },
        entries: [entry({ timeout: 2 })],
        connect: connectWire,
        clock: { now: () => performance.now() / 1000 },
      });
      opened.push(port);
      return port;
    };
    const ports = where === "tcp" ? [listen(), listen(), listen()] : [listen()];
    for (const port of ports) {
      const [first] = await port.read(["a"]);
      expect(unwrap(first!.outcome).value).toBeCloseTo(24.4, 0);
    }
  });
});

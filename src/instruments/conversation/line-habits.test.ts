import { describe, expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { openBench } from "./open-bench.ts";
import { identity, polite, readoutEntry, stages, transcript, type Script } from "./scripted-instrument.test-support.ts";

const real = stages.slice(1);

describe.each(real)("habits of instruments on a line, over %s", (_, stand) => {
  it("an echo of what was sent is no answer", async () => {
    const echoing =
      (script: Script): Script =>
      (message, reply, count) => {
        reply.say(`${message}\r\n`);
        script(message, reply, count);
      };
    const stage = await stand(echoing(polite((_message, { say }) => say("+25.4961\n"))));
    const { bench, notes, readOnce } = benchOfOne(stage, readoutEntry({ retries: 0, timeout: 1, onConnect: [] }));
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 25.4961, wire: "+25.4961" } });
    expect(notes.lines).toContain("! MEASure:FRESistance? (@2)");
    await bench.close();
    await stage.close();
  });

  it("junk before an answer is not part of it, and the question is asked again", async () => {
    const stage = await stand(
      polite((_message, { say }, count) => say(count === 1 ? "\u0000\u00ff\u00fe+25.4961\n" : "+25.4961\n")),
    );
    const { bench, readOnce } = benchOfOne(stage, readoutEntry({ retries: 1, timeout: 1 }));
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { wire: "+25.4961" } });
    await bench.close();
    await stage.close();
  });

  it("an answer in pieces is one answer", async () => {
    const stage = await stand(
      polite((_message, { say }) => {
        ["+2", "5.49", "61", "\r", "\n"].forEach((piece, index) => setTimeout(() => say(piece), index * 15));
      }),
    );
    const { bench, readOnce } = benchOfOne(stage, readoutEntry({ retries: 0, timeout: 1 }));
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { wire: "+25.4961" } });
    await bench.close();
    await stage.close();
  });

  it("a shape takes the number out of what stands around it, and nothing else", async () => {
    const stage = await stand(
      polite((_message, { say }, count) => say(count === 1 ? "R2= 25.4961 OHM\n" : "R3= 99.9 OHM\n")),
    );
    const { bench, readOnce } = benchOfOne(
      stage,
      readoutEntry({
        retries: 0,
        timeout: 1,
        read: { Ω: { ask: "R{input}?", answers: "Ω", shape: "R{input}= {value} OHM", inputs: { first: 1, last: 4 } } },
      }),
    );
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 25.4961 } });
    // The answer for another input is not this one's.
    expect((await readOnce()).outcome).toMatchObject({ ok: false, fault: { code: "instrument.garbled" } });
    await bench.close();
    await stage.close();
  });

  it("a number that stands for an open circuit, and one outside the range, are no readings", async () => {
    const answers = ["999999", "-7.5", "12.5"];
    const stage = await stand(polite((_message, { say }, count) => say(`${answers[count - 1]}\n`)));
    const { bench, readOnce } = benchOfOne(
      stage,
      readoutEntry({
        retries: 0,
        timeout: 1,
        read: {
          Ω: {
            ask: "R{input}?",
            answers: "Ω",
            openAt: [999_999],
            range: { minimum: 0, maximum: 400 },
            inputs: { first: 1, last: 4 },
          },
        },
      }),
    );
    expect((await readOnce()).outcome).toMatchObject({ fault: { code: "signal.open-circuit" } });
    expect((await readOnce()).outcome).toMatchObject({ fault: { code: "signal.out-of-range" } });
    expect((await readOnce()).outcome).toMatchObject({ ok: true, value: { value: 12.5 } });
    await bench.close();
    await stage.close();
  });
});

it("a carriage return alone ends lines both ways, where the entry says so", async () => {
  const [, serial] = stages[2]!;
  let heard = "";
  const stage = await serial(() => undefined);
  const ended: string[] = [];
  const bench = openBench({
    instruments: [{ id: "readout", entry: "test-readout", at: stage.at, role: "readout" }],
    channels: { reference: { instrument: "readout", input: 1, unit: "Ω" } },
    entries: [readoutEntry({ transport: { kind: "serial", end: "cr" }, onConnect: [], timeout: 1 })],
    connect: async (instrument) => {
      const wire = await stage.connect(instrument);
      if (!wire.ok) return wire;
      const { value } = wire;
      // The instrument's part, played on this side of the line: it ends its lines with a CR.
      let listener: Parameters<typeof value.listen>[0] | null = null;
      const answer = (text: string) => listener?.bytes(Uint8Array.from(text, (character) => character.charCodeAt(0)));
      return {
        ok: true,
        value: {
          ...value,
          listen: (next) => {
            listener = next;
          },
          send: (bytes) => {
            heard += String.fromCharCode(...bytes);
            ended.push(heard.at(-1)!);
            answer(heard.endsWith("*IDN?\r") ? `${identity}\r` : "+25.5000\r");
          },
        },
      };
    },
    clock: { now: () => 0 },
    observe: transcript().observe,
  });
  expect((await bench.read(["reference"]))[0]!.outcome).toMatchObject({ ok: true, value: { value: 25.5 } });
  expect(new Set(ended)).toEqual(new Set(["\r"]));
  await bench.close();
  await stage.close();
});

it("a serial port that was left open is found by what answers there, also when its name has changed", async () => {
  const [, serial] = stages[2]!;
  const wrong = await serial((message, { say }) => {
    if (message === "*IDN?") say("Test bench,something else,9,0\n");
  });
  const right = await serial(polite((_message, { say }) => say("+25.4961\n")));
  const path = (at: string) => at.replace("serial:", "");
  let ports = [path(wrong.at), path(right.at)];
  const notes = transcript();
  const bench = openBench({
    instruments: [{ id: "readout", entry: "test-readout", at: "serial:any", role: "readout" }],
    channels: { reference: { instrument: "readout", input: 1, unit: "Ω" } },
    entries: [readoutEntry({ identify: { expect: "scripted readout" }, timeout: 1, retries: 1 })],
    connect: (instrument) => (instrument.at === wrong.at ? wrong : right).connect(instrument),
    serialPorts: async () => ports,
    clock: { now: () => 0 },
    observe: notes.observe,
  });
  expect((await bench.read(["reference"]))[0]!.outcome).toMatchObject({ ok: true });
  ports = [path(wrong.at)];
  await right.close();
  expect((await bench.read(["reference"]))[0]!.outcome).toMatchObject({
    ok: false,
    fault: { code: "instrument.unreachable", message: expect.stringContaining(`it answers on none of ${ports[0]}`) },
  });
  const again = await serial(polite((_message, { say }) => say("+25.4970\n")));
  ports = [path(wrong.at), path(again.at)];
  const found = openBench({
    instruments: [{ id: "readout", entry: "test-readout", at: "serial:any", role: "readout" }],
    channels: { reference: { instrument: "readout", input: 1, unit: "Ω" } },
    entries: [readoutEntry({ identify: { expect: "scripted readout" }, timeout: 1 })],
    connect: (instrument) => (instrument.at === wrong.at ? wrong : again).connect(instrument),
    serialPorts: async () => ports,
    clock: { now: () => 0 },
  });
  expect((await found.read(["reference"]))[0]!.outcome).toMatchObject({ ok: true, value: { value: 25.497 } });
  await Promise.all([bench.close(), found.close(), wrong.close(), again.close()]);
});

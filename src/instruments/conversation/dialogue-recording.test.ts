import { expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { readFrame, replayConnections, writeFrame, type RecordedFrame } from "./dialogue-recording.ts";
import type { Frame } from "./line-connection.ts";
import { openBench } from "./open-bench.ts";
import { polite, readoutEntry, stages } from "./scripted-instrument.test-support.ts";

const [, overTcp] = stages[1]!;
const entry = readoutEntry({ retries: 1, timeout: 1 });

const openOn = (connect: Parameters<typeof openBench>[0]["connect"], observe: (frame: Frame) => void) =>
  openBench({
    instruments: [{ id: "readout", entry: entry.entry, at: "simulated", role: "readout" }],
    channels: { reference: { instrument: "readout", input: 2, unit: "Ω" } },
    entries: [entry],
    connect,
    clock: { now: () => 0 },
    observe,
  });

it("what was recorded on a real socket is replayed to the same readings and the same dialogue", async () => {
  const stage = await overTcp(
    polite((_message, { say, hangUp }, count) => {
      if (count === 3) hangUp();
      else say(count === 2 ? "+25.\u00074\n" : `+25.49${count}\n`);
    }),
  );
  const live: RecordedFrame[] = [];
  const bench = openOn(stage.connect, (frame) => live.push({ at: live.length, ...frame }));
  const values: unknown[] = [];
  for (let round = 0; round < 4; round += 1) values.push((await bench.read(["reference"]))[0]!.outcome);
  await bench.close();
  await stage.close();

  const kept = live.map(writeFrame).join("");
  const recording = kept
    .trim()
    .split("\n")
    .map((line) => readFrame(line)!);
  expect(recording).toEqual(live);

  const played: Frame[] = [];
  const replayed = openOn(replayConnections(recording), (frame) => played.push(frame));
  for (const value of values) expect((await replayed.read(["reference"]))[0]!.outcome).toEqual(value);
  await replayed.close();
  const said = (frames: readonly Frame[]) =>
    frames.filter(({ direction }) => direction !== "closed").map(({ direction, text }) => `${direction} ${text}`);
  expect(said(played)).toEqual(said(live));
});

it("a dialogue that goes another way says where", async () => {
  const stage = await overTcp(polite((_message, { say }) => say("+25.5\n")));
  const frames: Frame[] = [];
  const first = openOn(stage.connect, (frame) => frames.push(frame));
  await first.read(["reference"]);
  await first.close();
  await stage.close();
  const changed = frames.map((frame) =>
    frame.text.startsWith("MEAS") ? { ...frame, text: "MEASure:RESistance? (@2)" } : frame,
  );
  const { readOnce, bench } = benchOfOne(
    {
      at: "simulated",
      goneReason: "",
      connections: () => 0,
      connect: replayConnections(changed),
      close: async () => undefined,
    },
    readoutEntry({ retries: 0, timeout: 1 }),
  );
  expect((await readOnce()).outcome).toMatchObject({
    ok: false,
    fault: {
      message: expect.stringContaining(
        'the recording has "MEASure:RESistance? (@2)" where "MEASure:FRESistance? (@2)" was sent',
      ),
    },
  });
  await bench.close();
});

it.each(["", "{}", "[1]", "{", '{"instrument":"a","direction":"sung","text":"","at":0}'])(
  "%j is no line of a recording",
  (line) => {
    expect(readFrame(line)).toBeNull();
  },
);

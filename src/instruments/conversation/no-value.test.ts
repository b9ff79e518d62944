import { expect, it } from "vitest";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { polite, readoutEntry, stages } from "./scripted-instrument.test-support.ts";

const [, inMemory] = stages[0]!;
const outcomeOf = async (answer: string) => {
  const stage = await inMemory(polite((_message, { say }) => say(`${answer}\n`)));
  const { bench, readOnce } = benchOfOne(stage, readoutEntry());
  const { outcome } = await readOnce();
  await bench.close();
  return outcome;
};

it("SCPI's infinity is an open circuit, never a number", async () => {
  expect(await outcomeOf("+9.9E+37")).toEqual({
    ok: false,
    fault: {
      code: "signal.open-circuit",
      message:
        'Channel "reference" (instrument "readout", input 2) is beyond what the instrument can measure in Ω: it answers +9.9E+37, SCPI\'s infinity. The sensor\'s circuit is probably open: check its connections, then repeat the point.',
      data: { channel: "reference", instrument: "readout", wire: "+9.9E+37" },
    },
  });
});

it("SCPI's negative infinity is out of range", async () => {
  expect(await outcomeOf("-9.9E37")).toMatchObject({
    ok: false,
    fault: { code: "signal.out-of-range", message: expect.stringContaining("Check the polarity of the connections") },
  });
});

it("SCPI's not-a-number is no value", async () => {
  expect(await outcomeOf("9.91E37")).toMatchObject({
    ok: false,
    fault: {
      code: "instrument.reported",
      message:
        'Channel "reference" (instrument "readout", input 2) has no value to give: the instrument answers 9.91E37, SCPI\'s "not a number". Check that the input is set up for Ω and that a measurement is running.',
    },
  });
});

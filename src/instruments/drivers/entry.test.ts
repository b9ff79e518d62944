import { readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { expect, it } from "vitest";
import { parse } from "yaml";
import { instrumentEntrySchema, type InstrumentEntryInput } from "./entry.ts";
import { findSenseless } from "./find-senseless.ts";
import { wordsSent } from "./words-sent.ts";

const folder = join(import.meta.dirname, "../../../catalog/instruments");
const files = readdirSync(folder).filter((name) => name.endsWith(".yaml"));

it("ships generic entries for each way of talking", () => {
  expect(files.sort()).toEqual([
    "modbus-heat-source.yaml",
    "modbus-transmitter.yaml",
    "probe-memory-readout.yaml",
    "scpi-heat-source.yaml",
    "scpi-multimeter.yaml",
    "scpi-thermometer-readout.yaml",
    "scpi-transmitter-trim.yaml",
    "talk-only-line.yaml",
  ]);
});

/** Words of IEEE 488.2 and SCPI-1999 that the shipped entries may use; CALibration:TRIM and PROBe are declared by an entry's notes. */
const words = [
  /^\*(IDN\?|CLS)$/,
  /^SYSTem:ERRor\?$/,
  /^PROBe\? \(@\{input\}\)$/,
  /^MEASure:(TEMPerature|RESistance|FRESistance|VOLTage:DC|CURRent:DC)\?( \(@\{input\}\))?$/,
  /^SOURce:TEMPerature:SPOint(\?| \{value\})$/,
  /^OUTPut:STATe(\?| ON| OFF)$/,
  /^CALibration:(STATe (ON|OFF)|TRIM:(ZERO|SPAN)(\?| \{value\}))$/,
];

it.each(files)("%s holds to the schema, to its name, and to the words of the open standards", (file) => {
  const entry = instrumentEntrySchema.parse(parse(readFileSync(join(folder, file), "utf8")));
  expect(entry.entry).toBe(basename(file, ".yaml"));
  expect(findSenseless(entry)).toEqual([]);
  if (entry.dialogue === "registers" || entry.dialogue === "talk-only") return;
  expect(wordsSent(entry).filter((text) => !words.some((word) => word.test(text)))).toEqual([]);
});

const readout: InstrumentEntryInput = {
  entry: "meter",
  revision: 1,
  title: "Meter",
  role: "readout",
  transport: { kind: "tcp-socket" },
  identify: {},
  read: { Ω: { ask: "MEASure:FRESistance?", answers: "Ω", inputs: { first: 1, last: 1 } } },
};

it("fills in the defaults", () => {
  expect(instrumentEntrySchema.parse(readout)).toMatchObject({
    transport: { end: "lf" },
    timeout: 2,
    retries: 1,
    identify: { ask: "*IDN?" },
    onConnect: [],
  });
});

it.each([
  ["a source without set point", { role: "source" }, "a source needs setPoint and output"],
  ["a readout that reads nothing", { read: {} }, "a readout needs at least one thing to read"],
  ["an item without adjustment", { role: "item" }, "an item's maintenance channel needs adjust"],
  [
    "several inputs and one question",
    { read: { Ω: { ask: "MEASure:FRESistance?", answers: "Ω", inputs: { first: 1, last: 2 } } } },
    "with more than one input the question must hold {input}",
  ],
  [
    "a question without question mark",
    { read: { Ω: { ask: "MEASure:FRESistance", answers: "Ω", inputs: { first: 1, last: 1 } } } },
    "a question holds a '?'; one that does not needs the shape of its answer",
  ],
  [
    "a line end within a command",
    { onConnect: ["*CLS\n*RST"] },
    "printable ASCII only; the end of the line is sent by itself",
  ],
] as const)("refuses %s", (_, changes, sentence) => {
  const parsed = instrumentEntrySchema.safeParse({ ...readout, ...changes });
  expect(parsed.error?.issues.map(({ message }) => message)).toContain(sentence);
});

import { readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { expect, it } from "vitest";
import { parse } from "yaml";
import { instrumentEntrySchema, type InstrumentEntryInput } from "./entry.ts";

const folder = join(import.meta.dirname, "../../../catalog/instruments");
const files = readdirSync(folder).filter((name) => name.endsWith(".yaml"));

it("ships a heat source, a readout and a maintenance channel", () => {
  expect(files.sort()).toEqual([
    "scpi-heat-source.yaml",
    "scpi-thermometer-readout.yaml",
    "scpi-transmitter-trim.yaml",
  ]);
});

/** Words of IEEE 488.2 and SCPI-1999 that the shipped entries may use; CALibration:TRIM is declared by an entry's notes. */
const words = [
  /^\*(IDN\?|CLS)$/,
  /^SYSTem:ERRor\?$/,
  /^MEASure:(TEMPerature|FRESistance|VOLTage:DC|CURRent:DC)\?( \(@\{input\}\))?$/,
  /^SOURce:TEMPerature:SPOint(\?| \{value\})$/,
  /^OUTPut:STATe(\?| ON| OFF)$/,
  /^CALibration:(STATe (ON|OFF)|TRIM:(ZERO|SPAN)(\?| \{value\}))$/,
];

it.each(files)("%s holds to the schema, to its name, and to the words of the open standards", (file) => {
  const entry = instrumentEntrySchema.parse(parse(readFileSync(join(folder, file), "utf8")));
  expect(entry.entry).toBe(basename(file, ".yaml"));
  const said = [
    entry.identify.ask,
    ...entry.onConnect,
    entry.errors?.ask,
    ...Object.values(entry.read).map((reading) => reading.ask),
    entry.setPoint?.tell,
    entry.setPoint?.readBack.ask,
    entry.output?.on,
    entry.output?.off,
    entry.output?.readBack.ask,
    entry.adjust?.lock,
    entry.adjust?.unlock,
    ...[entry.adjust?.zero, entry.adjust?.span].flatMap((setting) => [setting?.tell, setting?.readBack.ask]),
  ].filter((text) => text !== undefined);
  expect(said.filter((text) => !words.some((word) => word.test(text)))).toEqual([]);
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
    "a question holds a '?'",
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

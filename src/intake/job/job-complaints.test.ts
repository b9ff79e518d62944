import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { FaultValue } from "#fault";
import type { FieldError } from "../document/field-error.ts";
import { loadJob } from "./load-job.ts";

const example = (name: string): string => readFileSync(new URL(`../../../examples/${name}`, import.meta.url), "utf8");
const platinum = example("pt100-four-wire.yaml");
const thermocouple = example("type-k-thermocouple.yaml");
const transmitter = example("transmitter-4-20.yaml");
const temperatureSwitch = example("temperature-switch.yaml");
const dial = example("dial-thermometer.yaml");
const byHand = example("everything-by-hand.yaml");

type Change = readonly [from: string | RegExp, to: string];

const changed = (text: string, changes: readonly Change[]): string =>
  changes.reduce((before, [from, to]) => {
    const after = before.replace(from, to);
    if (after === before) throw new Error(`nothing to change: ${from}`);
    return after;
  }, text);

const refusal = (text: string): FaultValue => {
  const outcome = loadJob(text, "x.yaml");
  if (outcome.ok) throw new Error("was accepted");
  return outcome.fault;
};

const said = (text: string): string[] => {
  const lines = text.split("\n");
  return (refusal(text).data!.fields as FieldError[]).map(
    ({ line, path, message }) => `${lines[line - 1]!.trim().slice(0, 24)} | ${path}: ${message}`,
  );
};

/** The item of an example once more, after itself. */
const twice = (text: string): string =>
  text.replace(/^items:\n([\s\S]*?)\n\n/m, (_, block: string) => `items:\n${block}\n${block}\n\n`);

describe("fields that do not go together", () => {
  it.each<[string, string, readonly Change[], string[]]>([
    [
      "readings by hand where no channel is typed",
      dial,
      [["item-1: {typed: true, unit: °C, resolution: 0.5}", "item-1: {instrument: readout, input: 2, unit: °C}"]],
      [
        "readingsByHand: {count:  | procedure.readingsByHand: no channel is typed. Leave this out, or write typed: true at the channel that a person reads.",
      ],
    ],
    [
      "a typed channel in another unit than its item",
      dial,
      [["item-1: {typed: true, unit: °C, resolution: 0.5}", "item-1: {typed: true, unit: mV}"]],
      [
        'item-1: {typed: true, un | bench.channels.item-1.unit: expected °C, because a "indication" is read on it; found mV.',
      ],
    ],
    [
      "a typed channel off the readout's display, for which the readout has no row",
      byHand,
      [
        ["      - {unit: °C, percentOfReading: 0, absolute: 0.1, resolution: 0.01}\n", ""],
        [", display: item}", "}"],
      ],
      [
        'accuracy: # ± (percentOf | kit.readout.accuracy: there is no row for °C, in which the channel "reference" is read. Add it: {unit: °C, absolute: …, resolution: …}.',
      ],
    ],
    [
      "a source by hand beside one with a wire",
      dial,
      [["bench:\n", "bench:\n  source: by-hand\n"]],
      [
        "source: by-hand | bench.source: heat-source is the heat source and has a wire. Leave this out, or leave heat-source out.",
      ],
    ],
    [
      "typed items that are to be measured one by one",
      dial,
      [["  readingsByHand", "  items: each\n  readingsByHand"]],
      ["items: each | procedure.items: items that are typed are read in rounds, all at one moment. Leave this out."],
    ],
    [
      "a closing check that watches a reference which nobody watches",
      byHand,
      [["  decision:", "  closingCheck: {kind: ice-point, limit: 0.1}\n  decision:"]],
      [
        "closingCheck: {kind: ice | procedure.closingCheck.kind: the reference is read by hand, and this check watches it reading by reading. Write kind: first-point, or read the reference on an instrument.",
      ],
    ],
    [
      "the contact of a switch, typed",
      temperatureSwitch,
      [[/ {4}item-1: \{instrument: [^}]*\}/, "    item-1: {typed: true, unit: contact}"]],
      [
        "channel: item-1 | items[0].channel: the contact of TSH-118 changes within a second, which nobody types. Read it on an instrument.",
      ],
    ],
    [
      "an item's channel that is not on the bench",
      platinum,
      [["channel: item-1", "channel: item1"]],
      ['channel: item1 | items[0].channel: bench.channels has no channel "item1". Did you mean "item-1"?'],
    ],
    [
      "a history of an item that is not in the job",
      platinum,
      [
        [
          "\nbench:\n",
          "\nhistory:\n  - item: tt-205\n    of: class\n    errors: [{date: 2025-11-20, error: 0.02, u: 0.01}]\n\nbench:\n",
        ],
      ],
      [
        '- item: tt-205 | history[0].item: this job has no item "tt-205"; it has tt-204. Name one of them, or leave this history out.',
      ],
    ],
    [
      "a reference's channel that is not on the bench",
      platinum,
      [["channel: reference", "channel: probe"]],
      [
        'channel: probe | kit.reference.channel: bench.channels has no channel "probe". There are: reference, item-1, source.',
      ],
    ],
    [
      "a unit that is not the sensor's",
      platinum,
      [["    unit: Ω\n    tolerance", "    unit: mA\n    tolerance"]],
      [
        'unit: mA | items[0].unit: a sensor of the kind "platinum" is read in Ω, not in mA. Write Ω, or correct the sensor.',
      ],
    ],
    [
      "a channel in another unit than its item",
      platinum,
      [["item-1: {instrument: readout, input: 2, unit: Ω}", "item-1: {instrument: readout, input: 2, unit: mV}"]],
      [
        'item-1: {instrument: rea | bench.channels.item-1.unit: expected Ω, because a "platinum" is read on it; found mV.',
      ],
    ],
    [
      "a unit for which the readout has no figures",
      thermocouple,
      [[/ +- \{unit: mV.*\n/, ""]],
      [
        'accuracy: # ± (percentOf | kit.readout.accuracy: there is no row for mV, in which the channel "item-1" is read. Add it: {unit: mV, absolute: …, resolution: …}.',
      ],
    ],
    [
      "an instrument that is not on the bench",
      platinum,
      [["source: {instrument: heat-source", "source: {instrument: heatsource"]],
      [
        'source: {instrument: hea | bench.channels.source.instrument: bench.instruments has no instrument "heatsource". Did you mean "heat-source"?',
      ],
    ],
    [
      "two channels on one input",
      platinum,
      [["input: 2, unit: Ω", "input: 1, unit: Ω"]],
      [
        'item-1: {instrument: rea | bench.channels.item-1.input: input 1 of readout is the channel "reference" already. Give each channel its own input.',
      ],
    ],
    [
      "an instrument's name twice",
      platinum,
      [
        ["{id: heat-source,", "{id: readout,"],
        ["source: {instrument: heat-source", "source: {instrument: readout"],
      ],
      [
        '- {id: readout, entry: s | bench.instruments[1].id: "readout" stands for another instrument already. Give each its own.',
      ],
    ],
    [
      "two sources",
      platinum,
      [["  channels:\n", "    - {id: other, entry: scpi-heat-source, at: simulated, role: source}\n  channels:\n"]],
      [
        "- {id: other, entry: scp | bench.instruments[2].role: heat-source is the source already. A run has one heat source.",
      ],
    ],
    [
      "a maintenance channel of nobody",
      transmitter,
      [["{id: tt-317, entry", "{id: tt317, entry"]],
      [
        '- {id: tt317, entry: scp | bench.instruments[2].id: the maintenance channel of an item carries the item\'s own identifier, and no item is called "tt317". Did you mean "tt-317"?',
      ],
    ],
    [
      "an item on the reference's channel",
      platinum,
      [["channel: item-1", "channel: reference"]],
      [
        'channel: reference | items[0].channel: the channel "reference" reads the reference already. Give the item its own channel.',
      ],
    ],
    [
      "a thermocouple without its reference junction",
      thermocouple,
      [[/ +coldJunction:.*\n/, ""]],
      [
        "- id: te-118 | items[0].coldJunction: this field is missing: a thermocouple gives a temperature only with its reference junction's. Write {kind: ice-point}, or {kind: channel, channel: junction, halfWidth: 0.3}.",
      ],
    ],
    [
      "a switch that is not read as a contact",
      temperatureSwitch,
      [["unit: contact\n    tolerance", "unit: Ω\n    tolerance"]],
      [
        'unit: Ω | items[0].unit: a sensor of the kind "switch" is read in contact, not in Ω. Write contact, or correct the sensor.',
      ],
    ],
    [
      "a reference junction where there is none",
      platinum,
      [["    channel: item-1\n", "    channel: item-1\n    coldJunction: {kind: ice-point}\n"]],
      [
        'coldJunction: {kind: ice | items[0].coldJunction: only a thermocouple has a reference junction; this item is of the kind "platinum". Leave coldJunction out.',
      ],
    ],
    [
      "a reference junction that nobody reads",
      thermocouple,
      [["channel: junction,", "channel: cold,"]],
      [
        'coldJunction: {kind: cha | items[0].coldJunction.channel: bench.channels has no channel "cold". There are: reference, item-1, junction, source. It should read the reference junction, in °C.',
      ],
    ],
    [
      "a reference junction on the thermocouple's own channel",
      thermocouple,
      [["channel: junction,", "channel: item-1,"]],
      [
        'coldJunction: {kind: cha | items[0].coldJunction.channel: "item-1" carries the thermocouple itself. Name the channel that reads its reference junction in °C.',
      ],
    ],
    [
      "a reference junction that is not read in °C",
      thermocouple,
      [["input: 3, unit: °C", "input: 3, unit: Ω"]],
      [
        "junction: {instrument: r | bench.channels.junction.unit: expected °C, because it reads a reference junction; found Ω.",
      ],
    ],
    [
      "limits the wrong way round",
      platinum,
      [["{minimum: -40, maximum: 200}", "{minimum: 200, maximum: -40}"]],
      ["limits: {minimum: 200, m | items[0].limits.maximum: -40 °C is not above the minimum of 200 °C."],
    ],
    [
      "a range of use the wrong way round",
      platinum,
      [["{lower: 0, upper: 150}", "{lower: 150, upper: 0}"]],
      ["range: {lower: 150, uppe | items[0].range.upper: 0 °C is not above the lower end of 150 °C."],
    ],
    [
      "a range of the kit the wrong way round",
      platinum,
      [["range: {minimum: -30, maximum: 180}", "range: {minimum: 180, maximum: -30}"]],
      ["range: {minimum: 180, ma | kit.source.range.maximum: -30 °C is not above the minimum of 180 °C."],
    ],
    [
      "dates the wrong way round",
      platinum,
      [["due: 2027-03-09", "due: 2025-03-09"]],
      [
        "due: 2025-03-09 | kit.reference.calibration.due: it is due on 2025-03-09, but was calibrated on 2026-03-09. The date comes before the due date; check both against the certificate.",
      ],
    ],
    [
      "the same point again",
      platinum,
      [["temperature: 100\n", "temperature: 50\n"]],
      [
        "- temperature: 50 | procedure.points[3].temperature: 50 °C is the temperature of the point before it, too. Leave one out; for more readings at a point raise readings.count.",
      ],
    ],
    [
      "as-left without an adjustment",
      platinum,
      [["  readings: {count", "  passes: [as-found, as-left]\n  readings: {count"]],
      [
        "passes: [as-found, as-le | procedure.passes: as-left follows an adjustment, and none is planned. Add procedure.adjustment, or leave as-left out.",
      ],
    ],
    [
      "an adjustment without as-left",
      transmitter,
      [["[as-found, as-left]", "[as-found]"]],
      [
        "adjustment: # when an as | procedure.adjustment: what was adjusted has to be measured again. Write passes: [as-found, as-left], or leave the adjustment out.",
      ],
    ],
    [
      "an adjustment of a bare sensor",
      thermocouple,
      [
        [
          "  readings: {count",
          "  passes: [as-found, as-left]\n  adjustment: {kind: zero-and-span, adjustAbove: 0.5, authorisedBy: x}\n  readings: {count",
        ],
      ],
      [
        "adjustment: {kind: zero- | procedure.adjustment: only transmitters, indicators and switches can be adjusted, and no item is one. Leave the adjustment and as-left out.",
      ],
    ],
    [
      "a wait that is too short for a judgement",
      platinum,
      [["longestWait: 5400", "longestWait: 60"]],
      [
        "longestWait: 60 | procedure.settling.longestWait: the longest wait of 60 s is not above the shortest window of judgement, 120 s: no point could become ready.",
      ],
    ],
  ])("%s", (_, text, changes, expected) => {
    const broken = changed(text, changes);
    expect(said(broken)).toEqual(expected);
    expect(refusal(broken).code).toBe("job.invalid");
  });

  it("two items of one name, on one channel", () => {
    expect(said(twice(platinum))).toEqual([
      '- id: tt-204 | items[1].id: "tt-204" stands for another item already. Give each its own.',
      'channel: item-1 | items[1].channel: the channel "item-1" reads TT-204 already. Give each item its own channel.',
    ]);
  });

  it("coefficients that describe no thermometer", () => {
    const [first] = said(
      changed(platinum, [
        [
          "{subrange: 7, a: -1.7120943e-4, b: -8.9436127e-6, c: -1.4370285e-6}",
          "{subrange: 7, a: -1.7120943e-4, b: -8.9436127e-6, x: 1}",
        ],
      ]),
    );
    expect(first).toMatch(/^sensor: \| kit\.reference\.sensor: .*7/);
  });

  it("a lot of them are all told, in the order of the text", () => {
    const broken = changed(platinum, [
      ["channel: item-1", "channel: nothing"],
      ["due: 2027-03-09", "due: 2020-03-09"],
      ["temperature: 150", "temperature: 100"],
      ["at: simulated, role: readout", "at: simulated, role: item"],
    ]);
    expect(said(broken).map((line) => line.split(" ")[0] === "" || line.split(" | ")[1]!.split(": ")[0])).toEqual([
      "items[0].channel",
      "kit.reference.calibration.due",
      "procedure.points[4].temperature",
    ]);
  });
});

describe("points outside of what kit and item may see", () => {
  it("carry the code of what they cross where nothing else is wrong", () => {
    const broken = changed(platinum, [["temperature: 150", "temperature: 190"]]);
    expect(refusal(broken).code).toBe("kit.out-of-range");
    expect(said(broken)).toEqual([
      "- temperature: 190 | procedure.points[4].temperature: 190 °C is outside what heat source 2207 may see (-30 °C to 180 °C). Leave the point out, or choose a kit that covers it.",
    ]);
    expect(refusal(changed(platinum, [["maximum: 200}", "maximum: 140}"]])).code).toBe("item.out-of-range");
  });

  it("are told with everything else under the job's own code", () => {
    const broken = changed(platinum, [["temperature: 150", "temperature: 500"]]);
    expect(refusal(broken).code).toBe("job.invalid");
    expect(said(broken).map((line) => line.split(": ").slice(2).join(": "))).toEqual([
      "the table goes from -80 °C to 420 °C, but a point is at 500 °C, where the certificate says nothing. Leave the point out, or use a reference that covers it.",
      "500 °C is outside what heat source 2207 may see (-30 °C to 180 °C). Leave the point out, or choose a kit that covers it.",
      "500 °C is outside what reference 1108 may see (-80 °C to 420 °C). Leave the point out, or choose a kit that covers it.",
      "500 °C is outside what item TT-204 may see (-40 °C to 200 °C). Leave the point out, or choose a kit that covers it.",
    ]);
  });
});

it("refuses ramps of a switch that leave what it may see, and says so at the ramp", () => {
  const text = changed(temperatureSwitch, [
    ["limits: {minimum: 0, maximum: 120}", "limits: {minimum: 0, maximum: 94}"],
  ]);
  expect(refusal(text)).toMatchObject({
    code: "item.out-of-range",
    message: expect.stringMatching(/procedure\.ramp: 95 °C is outside what item TSH-118 may see/),
  });
});

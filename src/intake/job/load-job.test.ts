import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { FaultValue } from "#fault";
import type { FieldError } from "../document/field-error.ts";
import { loadJob } from "./load-job.ts";

const folder = new URL("../../../examples/", import.meta.url);
const example = (name: string): string => readFileSync(new URL(name, folder), "utf8");

const platinum = example("pt100-four-wire.yaml");
const thermocouple = example("type-k-thermocouple.yaml");
const transmitter = example("transmitter-4-20.yaml");

/** An example with one thing changed; the change must find its place. */
const changed = (text: string, from: string | RegExp, to: string): string => {
  const result = text.replace(from, to);
  if (result === text) throw new Error(`nothing to change: ${from}`);
  return result;
};

const refusal = (text: string): FaultValue => {
  const outcome = loadJob(text, "x.yaml");
  if (outcome.ok) throw new Error("was accepted");
  return outcome.fault;
};

/** What is said, with the lines that it points at. */
const said = (text: string): string[] => {
  const lines = text.split("\n");
  return (refusal(text).data!.fields as FieldError[]).map(
    ({ line, path, message }) => `${lines[line - 1]!.trim().slice(0, 30)} | ${path}: ${message}`,
  );
};

describe("the examples", () => {
  // What is in `upkeep` is about the kit itself, and no job; the room of that name reads it.
  const files = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter(
    (name) => name.endsWith(".yaml") && !name.startsWith("upkeep"),
  );

  it("are all there", () => {
    expect(files.length).toBeGreaterThanOrEqual(4);
  });

  it.each(files)("%s loads, is marked as a rehearsal and as demo data, and names the schema", (name) => {
    const text = example(name);
    const outcome = loadJob(text, name);
    expect(outcome).toMatchObject({
      ok: true,
      value: { rehearsal: true, customer: { name: "Marrow & Finch, fruit-preserve works (demo)" } },
    });
    const schema = /^# yaml-language-server: \$schema=(\S+)\n/.exec(text)?.[1];
    expect(JSON.parse(readFileSync(new URL(schema!, new URL(name, folder)), "utf8"))).toMatchObject({
      title: "Job file",
    });
  });

  it("come with their defaults written out, and the same from JSON", () => {
    const outcome = loadJob(platinum, "a.yaml");
    if (!outcome.ok) throw new Error(outcome.fault.message);
    expect(outcome.value.procedure).toMatchObject({
      passes: ["as-found"],
      decision: { kind: "guard-band", factor: 1 },
      coverage: 0.9545,
    });
    expect(loadJob(JSON.stringify(outcome.value, null, "\t"), "a.json")).toEqual(outcome);
  });
});

describe("the guide to job files", () => {
  it("shows a job that loads", () => {
    const guide = readFileSync(new URL("../docs/guides/job-file.md", folder), "utf8");
    const shown = guide
      .split("```yaml\n")
      .map((block) => block.split("```")[0]!)
      .find((block) => block.startsWith("job:"));
    expect(loadJob(shown!, "job-file.md")).toMatchObject({ ok: true, value: { job: "CV-2611-010" } });
  });
});

describe("a field that is wrong", () => {
  it("is told with file, line, field, what was expected, and what to write", () => {
    const text = changed(platinum, "- temperature: 50", "- temperature: abc");
    const line = text.split("\n").findIndex((each) => each.includes("abc")) + 1;
    const fault = refusal(text);
    expect(fault.code).toBe("job.invalid");
    expect(fault.message).toBe(
      `x.yaml:${line}: procedure.points[2].temperature: expected a number in °C, found "abc". Write for example 150.`,
    );
    expect(fault.data).toMatchObject({
      document: "x.yaml",
      fields: [{ line, column: 20, path: "procedure.points[2].temperature" }],
    });
  });

  it.each<[string, string, string | RegExp, string, string[]]>([
    [
      "a job number that reads as a number",
      platinum,
      "job: CV-2611-002",
      "job: 1e3",
      ['job: 1e3 | job: expected text, but 1e3 without quotes is read as the number 1000. Put it in quotes: "1e3".'],
    ],
    [
      "a serial number that loses its zeros",
      platinum,
      'serial: "0042817"',
      "serial: 0042817",
      [
        'serial: 0042817 # in quotes: w | items[0].serial: expected text, but 0042817 without quotes is read as the number 42817. Put it in quotes: "0042817".',
      ],
    ],
    [
      "an unknown key",
      platinum,
      "technician:",
      "tecnician:",
      [
        "job: CV-2611-002 | technician: this field is missing.",
        'tecnician: Orla Penhallow (dem | tecnician: this field is not known here. Did you mean "technician"?',
      ],
    ],
    [
      "an unknown key of a sensor",
      platinum,
      "r0: 100,",
      "R0: 100,",
      [
        "sensor: # what the item is mea | items[0].sensor.r0: this field is missing. It holds: resistance at 0 °C, Ω. Write for example 100.",
        '{kind: platinum, equation: cal | items[0].sensor.R0: this field is not known here. Did you mean "r0"?',
      ],
    ],
    [
      "a missing field of an item",
      platinum,
      "    tag: TT-204\n",
      "",
      ["- id: tt-204 | items[0].tag: this field is missing. It holds: the name on the plate or in the plant's list."],
    ],
    [
      "a sensor that is none",
      platinum,
      "kind: platinum, equation: callendar",
      "kind: platinium, equation: callendar",
      [
        '{kind: platinium, equation: ca | items[0].sensor.kind: expected one of thermocouple, platinum, thermistor, loop, indication or switch; found "platinium". Did you mean "platinum"?',
      ],
    ],
    [
      "an equation that is none",
      platinum,
      "equation: its-90",
      "equation: its90",
      [
        'equation: its90 | kit.reference.sensor.equation: expected one of its-90 or callendar-van-dusen; found "its90". Did you mean "its-90"?',
      ],
    ],
    [
      "a unit by another name",
      thermocouple,
      "    unit: mV",
      "    unit: millivolt",
      ['unit: millivolt | items[0].unit: expected one of °C, Ω, mV, mA or contact; found "millivolt". Write mV.'],
    ],
    [
      "a limit with its unit",
      platinum,
      "{minimum: -40, maximum: 200}",
      "{minimum: -40 °C, maximum: 200}",
      [
        'limits: {minimum: -40 °C, maxi | items[0].limits.minimum: expected a number in °C, found "-40 °C". Write the number alone, without its unit: -40.',
      ],
    ],
    [
      "a decimal comma",
      platinum,
      "driftPerYear: 0.02",
      "driftPerYear: 0,015",
      [
        'driftPerYear: 0,015 | kit.reference.driftPerYear: expected a number in K, found "0,015". Write the decimals after a point: 0.015.',
      ],
    ],
    [
      "a date written another way",
      platinum,
      "date: 2026-03-09",
      "date: 9.3.2026",
      [
        'date: 9.3.2026 | kit.reference.calibration.date: expected a date as year-month-day, for example 2026-03-31; found "9.3.2026".',
      ],
    ],
    [
      "a day that is none",
      platinum,
      "due: 2027-03-09",
      "due: 2027-02-30",
      [
        'due: 2027-02-30 | kit.reference.calibration.due: expected a date as year-month-day, for example 2026-03-31; found "2027-02-30".',
      ],
    ],
    [
      "a tolerance said twice",
      transmitter,
      "{kelvin: 0.5}",
      "{kelvin: 0.5, class: iec-60751/A}",
      [
        "tolerance: {kelvin: 0.5, class | items[0].tolerance: give either class, or one or more of kelvin, percentOfReading, percentOfSpan, kelvinTable.",
      ],
    ],
    [
      "a table out of order",
      platinum,
      "{temperature: 420, value: 0.05}",
      "{temperature: 100, value: 0.05}",
      [
        "uncertainty: # expanded, k = 2 | kit.reference.calibration.uncertainty: rows must be in rising order of temperature, each temperature once.",
      ],
    ],
    [
      "as-left alone",
      transmitter,
      "[as-found, as-left]",
      "[as-left]",
      ["passes: [as-left] # without an | procedure.passes: as-found comes first, each pass once."],
    ],
    [
      "an address that is none",
      platinum,
      "at: simulated, role: source",
      "at: localhost, role: source",
      [
        "- {id: heat-source, entry: scp | bench.instruments[0].at: expected 'simulated', 'tcp://host:port', 'serial:/dev/ttyUSB0', 'serial:any', 'usbtmc:/dev/usbtmc0', 'modbus-tcp://host:502#1' or 'modbus-rtu:/dev/ttyUSB0#1'; found \"localhost\".",
      ],
    ],
  ])("%s", (_, text, from, to, expected) => {
    expect(said(changed(text, from, to))).toEqual(expected);
  });
});

import { expect, it } from "vitest";
import { questionEntryFields } from "./question-entry.ts";
import { readingQuestion, understandReading } from "./reading.ts";
import { settingArrived, settingCommand } from "./setting.ts";

const entry = questionEntryFields.parse({
  entry: "meter",
  revision: 1,
  title: "Meter",
  role: "readout",
  transport: { kind: "tcp-socket" },
  identify: {},
  read: {
    Ω: { ask: "MEASure:FRESistance? (@{input})", answers: "kΩ", inputs: { first: 1, last: 2 }, timeout: 9 },
    mA: { ask: "MEASure:CURRent? (@{input})", answers: "A", inputs: { first: 1, last: 2 } },
    mV: { ask: "MEASure:RESistance? (@{input})", answers: "Ω", inputs: { first: 1, last: 2 } },
  },
});

it("units change only by the decimal point, and only where the entry says", () => {
  const resistance = readingQuestion(entry, "Ω", 2);
  expect(resistance).toMatchObject({ ok: true, value: { text: "MEASure:FRESistance? (@2)", timeout: 9, shift: 3 } });
  const current = readingQuestion(entry, "mA", 1);
  if (!resistance.ok || !current.ok) throw new Error("no question");
  expect(understandReading(resistance.value, "0.1385055")).toMatchObject({
    reading: { value: 138.5055, wire: "0.1385055" },
  });
  expect(understandReading(current.value, "+12.0034E-03")).toMatchObject({
    reading: { value: 12.0034, wire: "+12.0034E-03" },
  });
  expect(readingQuestion(entry, "mV", 1)).toMatchObject({
    ok: false,
    fault: { code: "instrument.entry-invalid", message: expect.stringContaining("answers Ω where mV is wanted") },
  });
});

it("a value is sent with the decimals of the entry and counts as arrived within rounding", () => {
  const setting = {
    tell: "SPOint {value}",
    decimals: 1,
    minimum: -20,
    maximum: 150,
    readBack: { ask: "SPOint?", within: 0 },
  };
  expect(settingCommand(setting, 99.96, "a set point of", "°C")).toEqual({ ok: true, value: "SPOint 100.0" });
  expect(settingArrived(setting, 99.96, "100.0")).toBe("yes");
  expect(settingArrived(setting, 99.96, "99.9")).toBe("no");
  expect(settingArrived(setting, 99.96, "9.91E37")).toBe("no");
  expect(settingArrived(setting, 99.96, "hot")).toBe("malformed");
});

const contacts = {
  ...entry,
  read: {
    contact: {
      ask: "MEASure:RESistance? (@{input})",
      answers: "Ω" as const,
      contact: { closedBelow: 100, openAbove: 10_000 },
      inputs: { first: 1, last: 2 },
    },
  },
};

it.each([
  ["+0.2140", { kind: "reading", reading: { value: 1, wire: "+0.2140" } }],
  ["+9.9E+37", { kind: "reading", reading: { value: 0, wire: "+9.9E+37" } }],
  ["2.2E6", { kind: "reading", reading: { value: 0, wire: "2.2E6" } }],
  ["850", { kind: "between", wire: "850" }],
  ["9.91E37", { kind: "no-value" }],
  ["closed", { kind: "malformed" }],
])("a contact that reads %s Ω is open, closed, or neither", (line, wanted) => {
  const question = readingQuestion(contacts, "contact", 1);
  if (!question.ok) throw new Error("no question");
  expect(understandReading(question.value, line)).toMatchObject(wanted);
});

it("an entry that reads a contact must say what is open and what is closed", () => {
  const { contact: _, ...without } = contacts.read.contact;
  const refused = questionEntryFields.safeParse({ ...contacts, read: { contact: without } });
  expect(refused.error!.issues[0]).toMatchObject({ path: ["read", "contact", "contact"] });
});

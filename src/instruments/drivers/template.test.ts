import { expect, it } from "vitest";
import { lineTemplate } from "./template.ts";

const read = (template: string, line: string) => lineTemplate(template)?.match(line);

it.each([
  ["{value}", "  +23.45 ", { value: "+23.45", input: null }],
  ["{value} C", "23.45   C", { value: "23.45", input: null }],
  ["CH{input} {value} C", "CH12 -0.5 C", { value: "-0.5", input: 12 }],
  ["{text};{value};{text}", "2026-11-25 10:00;1.2E+2;ok", { value: "1.2E+2", input: null }],
  ["T={value}", "T=- 3.5", { value: "-3.5", input: null }],
  ["({value})", "(7)", { value: "7", input: null }],
] as const)("%s reads %s", (template, line, found) => {
  expect(read(template, line)).toEqual(found);
});

it.each([
  ["{value} C", "23.45 F"],
  ["{value}", "23.45 C"],
  ["{value}", ""],
  ["{value}", "23,45"],
  ["CH{input} {value}", "CHx 1"],
  ["{value} C", "23.45 C 24.1 C"],
] as const)("%s does not take %s", (template, line) => {
  expect(read(template, line)).toBeNull();
});

it.each(["", "C", "{value}{value}", "{value} {input} {input}", "{text}{value}", "{other} {value}", "{value"])(
  "%j is no template",
  (text) => {
    expect(lineTemplate(text)).toBeNull();
  },
);

it("reads back what it fills", () => {
  for (const text of ["CH{input} {value} C", "{text},{input},{value}", "{value}"]) {
    const template = lineTemplate(text)!;
    expect(template.match(template.fill("-12.345", 3))).toEqual({
      value: "-12.345",
      input: template.hasInput ? 3 : null,
    });
  }
});

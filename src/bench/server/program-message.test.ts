import { expect, it } from "vitest";
import { headerForms } from "./header-forms.ts";
import { parseProgramMessage } from "./program-message.ts";

const headers = (message: string) =>
  parseProgramMessage(message).map((unit) => (unit === null ? null : unit.header + (unit.query ? "?" : "")));

// SCPI-1999 Volume 1, 6.2.4: a header goes on from the path of the one before, unless it starts at the root.
it("units go on from the path before them; a colon goes back to the root; common commands leave the path alone", () => {
  expect(headers("syst:err?; vers?")).toEqual(["SYST:ERR?", "SYST:VERS?"]);
  expect(headers("SOUR:TEMP:SPO 50;SPO?;:OUTP ON")).toEqual(["SOUR:TEMP:SPO", "SOUR:TEMP:SPO?", "OUTP"]);
  expect(headers("MEAS:FRES? (@1);*IDN?;CURR? (@2)")).toEqual(["MEAS:FRES?", "*IDN?", "MEAS:CURR?"]);
});

it("parameters are cut at commas outside brackets and quotes", () => {
  expect(parseProgramMessage('FETC? (@1,2), "a;b,c" ,3')[0]?.parameters).toEqual(["(@1,2)", '"a;b,c"', "3"]);
  expect(parseProgramMessage("*CLS")[0]?.parameters).toEqual([]);
});

it("what is no header is none", () => {
  expect(headers("**IDN?")).toEqual([null]);
  expect(headers("MEAS:?;  ; 12")).toEqual([null, null]);
});

it("a pattern stands for short and long forms, with and without what may be left out", () => {
  expect([...headerForms("SYSTem:ERRor[:NEXT]")].sort()).toEqual(
    [
      "SYST:ERR",
      "SYST:ERR:NEXT",
      "SYST:ERROR",
      "SYST:ERROR:NEXT",
      "SYSTEM:ERR",
      "SYSTEM:ERR:NEXT",
      "SYSTEM:ERROR",
      "SYSTEM:ERROR:NEXT",
    ].sort(),
  );
  expect(headerForms("[SOURce]:TEMPerature")).toContain("TEMP");
  expect(headerForms("[SOURce]:TEMPerature")).toContain("SOURCE:TEMP");
  expect(headerForms("*IDN")).toEqual(["*IDN"]);
});

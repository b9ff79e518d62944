import { describe, expect, it } from "vitest";
import { itemCommands, readoutCommands, sourceCommands } from "./roles.ts";
import { scpiInstrument } from "./scpi-instrument.ts";

const source = () => {
  let setPoint = 23;
  let on = false;
  return scpiInstrument({
    identification: "Test,source,1,0",
    reset: () => {
      on = false;
    },
    commands: sourceCommands({
      range: { minimum: -30, maximum: 400 },
      temperature: () => ({ kind: "value", value: 23.456 }),
      setPoint: (temperature) => {
        setPoint = temperature;
      },
      setPointNow: () => setPoint,
      switchOutput: (next) => {
        on = next;
      },
      outputOn: () => on,
    }),
  });
};

describe("a heat source", () => {
  it("knows its words long and short, capitals or not, and chains", () => {
    const { execute } = source();
    expect(execute("MEASURE:SCALAR:TEMPERATURE?")).toBe("+23.456");
    expect(execute("meas:temp?")).toBe("+23.456");
    expect(execute("SOURce:TEMPerature:SPOint 150.25;SPOint?;:OUTPut:STATe on;:OUTP?")).toBe("150.250;1");
    expect(execute("TEMP:SPO? MAX;SPO? min")).toBe("400.000;-30.000");
    expect(execute("*RST")).toBeNull();
    expect(execute("OUTP?")).toBe("0");
  });

  it.each([
    ["MEAS:PRES?", '-113,"Undefined header"'],
    ["MEASUR:TEMP?", '-113,"Undefined header"'],
    ["=?", '-102,"Syntax error"'],
    ["TEMP:SPO", '-109,"Missing parameter"'],
    ["TEMP:SPO 1,2", '-108,"Parameter not allowed"'],
    ["TEMP:SPO hot", '-224,"Illegal parameter value"'],
    ["TEMP:SPO 400.1", '-222,"Data out of range"'],
    ["OUTP MAYBE", '-224,"Illegal parameter value"'],
  ])("%s gives no answer but an entry in the queue: %s", (message, entry) => {
    const { execute } = source();
    expect(execute(message)).toBeNull();
    expect(execute("SYST:ERR?;ERR?")).toBe(`${entry};0,"No error"`);
    expect(execute("TEMP:SPO?")).toBe("23.000");
  });

  it("keeps the first errors when the queue overflows, and forgets them at *CLS", () => {
    const { execute } = source();
    for (let count = 0; count < 40; count += 1) execute("NONSENSE");
    const entries = Array.from({ length: 17 }, () => execute("SYSTem:ERRor:NEXT?"));
    expect(entries.slice(0, 15)).toEqual(Array.from({ length: 15 }, () => '-113,"Undefined header"'));
    expect(entries.slice(15)).toEqual(['-350,"Queue overflow"', '0,"No error"']);
    execute("NONSENSE");
    expect(execute("*CLS;SYST:ERR?")).toBe('0,"No error"');
  });

  it("reports its status as IEEE 488.2 asks", () => {
    const { execute } = source();
    expect(execute("*ESR?;*ESR?")).toBe("128;0");
    execute("*ESE 32;*SRE 32");
    execute("NONSENSE");
    expect(execute("*STB?")).toBe(String(4 + 32 + 64));
    expect(execute("*ESR?;*STB?;*OPC?;*TST?")).toBe("32;4;1;0");
    execute("*ESE 300");
    expect(execute("*ESE?;*IDN?")).toBe("32;Test,source,1,0");
  });
});

it("a readout answers in base units, open inputs as infinity, the wrong function as not a number", () => {
  const { execute } = scpiInstrument({
    identification: "Test,readout,1,0",
    reset: () => undefined,
    commands: readoutCommands({
      inputs: 4,
      probeAt: () => null,
      unitAt: (input) => ([null, "Ω", "mV", "mA"] as const)[input] ?? null,
      read: (input) =>
        input === 3 ? { kind: "beyond", sign: -1 } : { kind: "value", value: input === 1 ? 25.49613 : -1.5 },
    }),
  });
  expect(execute("MEAS:FRES? (@1)")).toBe("+25.4961");
  expect(execute("MEAS:FRES?")).toBe("+25.4961");
  expect(execute("MEASURE:VOLTAGE:DC? (@2)")).toBe("-1.5000E-03");
  expect(execute("MEAS? ( @2 )")).toBeNull();
  expect(execute("SYST:ERR?")).toBe('-224,"Illegal parameter value"');
  expect(execute("MEAS:CURR? (@3)")).toBe("-9.9E+37");
  expect(execute("MEAS:CURR? (@4)")).toBe("+9.9E+37");
  expect(execute("MEAS:VOLT? (@1)")).toBe("+9.91E+37");
  expect(execute("MEAS:VOLT? (@5)")).toBeNull();
  expect(execute("SYST:ERR?")).toBe('-222,"Data out of range"');
});

it("a maintenance channel changes nothing while it is locked", () => {
  let trims = { zero: 0, span: 0 };
  const { execute } = scpiInstrument({
    identification: "Test,item,1,0",
    reset: () => undefined,
    commands: itemCommands({
      trims: () => trims,
      trim: (zero, span) => {
        trims = { zero, span };
      },
    }),
  });
  expect(execute("CAL:TRIM:ZERO 0.5")).toBeNull();
  expect(execute("SYST:ERR?")).toBe('-203,"Command protected"');
  expect(execute("CAL:STAT ON;TRIM:ZERO 0.5;SPAN -0.25;ZERO?;SPAN?")).toBe("0.5000;-0.2500");
  expect(execute("CAL:STAT OFF;:CAL:STAT?")).toBe("0");
});

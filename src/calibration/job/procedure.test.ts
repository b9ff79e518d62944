import { describe, expect, it } from "vitest";
import { inventedJob } from "../evaluate/invented-run.test-support.ts";
import { jobSchema } from "./job.ts";
import {
  decisionRuleSchema,
  orderSchema,
  procedureSchema,
  settlingRulesSchema,
  settlingTargetSchema,
} from "./procedure.ts";

const method = { identifier: "DEMO-T1", revision: "1", title: "Comparison in a block" };
const least = { method, points: [{ temperature: 0 }], decision: { kind: "simple" } };
const refusedAt = (change: object): string | undefined =>
  procedureSchema
    .safeParse({ ...least, ...change })
    .error?.issues[0]?.path.map(String)
    .join(".");

describe("a procedure", () => {
  it("has its defaults written out", () => {
    expect(procedureSchema.parse(least)).toEqual({
      ...least,
      passes: ["as-found"],
      readings: { count: 20, interval: 2 },
      settling: { target: { fractionOfTolerance: 0.2 }, minimumWindow: 120, longestWait: 7200 },
      coverage: 0.9545,
    });
    const { settling } = procedureSchema.parse({ ...least, settling: { target: { kelvin: 0.1 } } });
    expect(settling).toEqual({ target: { kelvin: 0.1 }, minimumWindow: 120, longestWait: 7200 });
    expect(procedureSchema.parse({ method, decision: { kind: "simple" } }).points).toEqual([]);
  });

  it("is kept as it was written where it says all", () => {
    const full = {
      ...least,
      points: [{ temperature: 0, direction: "falling" }, { temperature: 100 }],
      passes: ["as-found", "as-left"],
      repeatFirst: true,
      closingCheck: { kind: "first-point", limit: 0.1 },
      items: "each",
      unattended: 900,
      order: { kind: "rising", first: 0 },
      readings: { count: 2, interval: 0.5 },
      settling: {
        target: { kelvin: 0.02 },
        minimumWindow: 60,
        longestWait: 1800,
        rules: {
          judgement: "rules",
          soak: 600,
          reachedWithin: 0.5,
          limits: [{ on: "difference", window: 30, spread: 0.02, slope: 0.01 }],
        },
      },
      stateGlobalRisk: true,
      adjustment: { kind: "zero-and-span", adjustAbove: 0, authorisedBy: "customer" },
      fit: { model: "polynomial", degree: 2 },
      coverage: 0.99,
    };
    expect(procedureSchema.parse(full)).toEqual(full);
  });

  it.each([
    ["method.title", { method: { ...method, title: " " } }],
    ["passes", { passes: [] }],
    ["passes", { passes: ["as-left"] }],
    ["passes", { passes: ["as-left", "as-found"] }],
    ["passes", { passes: ["as-found", "as-found"] }],
    ["points", { points: [] }],
    ["points.0.direction", { points: [{ temperature: 0, direction: "up" }] }],
    ["unattended", { unattended: 0 }],
    ["readings.count", { readings: { count: 1, interval: 2 } }],
    ["readings.interval", { readings: { count: 2, interval: 0 } }],
    ["settling.minimumWindow", { settling: { target: { kelvin: 1 }, minimumWindow: 0 } }],
    ["settling.longestWait", { settling: { target: { kelvin: 1 }, longestWait: 0 } }],
    ["coverage", { coverage: 0.4999 }],
    ["coverage", { coverage: 0.99991 }],
    ["items", { items: "all" }],
    ["adjustment.adjustAbove", { adjustment: { kind: "zero-and-span", adjustAbove: 1.1, authorisedBy: "customer" } }],
    ["adjustment.adjustAbove", { adjustment: { kind: "zero-and-span", adjustAbove: -0.1, authorisedBy: "customer" } }],
    ["adjustment.authorisedBy", { adjustment: { kind: "zero-and-span", adjustAbove: 1, authorisedBy: " " } }],
    [
      "adjustment.adjustAbove",
      { adjustment: { kind: "new-coefficients", model: "callendar-van-dusen", adjustAbove: 2, authorisedBy: "x" } },
    ],
    [
      "adjustment.adjustAbove",
      { adjustment: { kind: "new-coefficients", model: "callendar-van-dusen", adjustAbove: -1, authorisedBy: "x" } },
    ],
    ["fit.degree", { fit: { model: "polynomial" } }],
    ["fit.degree", { fit: { model: "thermocouple-deviation" } }],
    ["fit.degree", { fit: { model: "callendar-van-dusen", degree: 2 } }],
    ["fit.degree", { fit: { model: "polynomial", degree: 13 } }],
    ["fit.degree", { fit: { model: "polynomial", degree: -1 } }],
    ["fit.degree", { fit: { model: "polynomial", degree: 1.5 } }],
    ["fit.subrange", { fit: { model: "its-90" } }],
    ["fit.subrange", { fit: { model: "callendar-van-dusen", subrange: 7 } }],
    ["fit.subrange", { fit: { model: "its-90", subrange: 0 } }],
    ["fit.subrange", { fit: { model: "its-90", subrange: 12 } }],
  ])("is refused at %s: %j", (path, change) => expect(refusedAt(change)).toBe(path));

  it.each([
    [{ coverage: 0.5 }],
    [{ coverage: 0.9999 }],
    [{ adjustment: { kind: "zero-and-span", adjustAbove: 1, authorisedBy: "customer" } }],
    [
      {
        adjustment: {
          kind: "new-coefficients",
          model: "its-90",
          subrange: 7,
          adjustAbove: 0,
          authorisedBy: "customer",
        },
      },
    ],
    [{ adjustment: { kind: "new-coefficients", model: "polynomial", degree: 3, adjustAbove: 1, authorisedBy: "x" } }],
    [{ fit: { model: "polynomial", degree: 0 } }],
    [{ fit: { model: "polynomial", degree: 12 } }],
    [{ fit: { model: "thermocouple-deviation", degree: 1 } }],
    [{ fit: { model: "its-90", subrange: 1 } }],
    [{ fit: { model: "its-90", subrange: 11 } }],
    [{ fit: { model: "callendar-van-dusen" } }],
  ])("may be %j", (change) => expect(procedureSchema.parse({ ...least, ...change })).toMatchObject(change));
});

describe("a decision rule", () => {
  it("has its usual factor or risk where none is said", () => {
    expect(decisionRuleSchema.parse({ kind: "guard-band" })).toEqual({ kind: "guard-band", factor: 1 });
    expect(decisionRuleSchema.parse({ kind: "specific-risk" })).toEqual({ kind: "specific-risk", limit: 0.02 });
    for (const rule of [
      { kind: "simple" },
      { kind: "g8-non-binary" },
      { kind: "guard-band", factor: 0.5 },
      { kind: "specific-risk", limit: 0.5 },
    ])
      expect(decisionRuleSchema.parse(rule)).toEqual(rule);
  });

  it.each([
    [{ kind: "guard-band", factor: 0 }],
    [{ kind: "specific-risk", limit: 0 }],
    [{ kind: "specific-risk", limit: 0.51 }],
    [{ kind: "simple", factor: 1 }],
    [{ kind: "g8-non-binary", factor: 1 }],
    [{ kind: "coin" }],
  ])("may not be %j", (rule) => expect(decisionRuleSchema.safeParse(rule).success).toBe(false));
});

describe("what settling is asked for", () => {
  it.each([[{ kelvin: 0.01 }], [{ fractionOfTolerance: 1 }], [{ fractionOfTolerance: 0.01 }]])("may be %j", (target) =>
    expect(settlingTargetSchema.parse(target)).toEqual(target),
  );
  it.each([[{}], [{ kelvin: 0.1, fractionOfTolerance: 0.1 }], [{ kelvin: 0 }], [{ fractionOfTolerance: 1.01 }]])(
    "may not be %j",
    (target) => expect(settlingTargetSchema.safeParse(target).success).toBe(false),
  );

  const limit = { on: "difference", window: 600, spread: 0.02 };
  it("by written rules has its defaults written out", () => {
    expect(settlingRulesSchema.parse({ soak: 600 })).toEqual({
      judgement: "both",
      soak: 600,
      reachedWithin: 1,
      limits: [],
    });
    expect(settlingRulesSchema.parse({ limits: [limit] })).toEqual({
      judgement: "both",
      reachedWithin: 1,
      limits: [limit],
    });
  });

  it.each([
    [{ limits: [{ ...limit, window: 30 }] }],
    [{ limits: [{ ...limit, window: 7200 }] }],
    [{ limits: [{ on: "difference", window: 60, slope: 0.1 }] }],
    [{ limits: Array.from({ length: 16 }, () => limit) }],
    [{ soak: 1, limits: [limit] }],
  ])("by written rules may be %j", (rules) => expect(settlingRulesSchema.parse(rules)).toMatchObject(rules));

  it.each([
    [{}],
    [{ limits: [] }],
    [{ soak: 0 }],
    [{ soak: 1, reachedWithin: 0 }],
    [{ soak: 1, judgement: "own" }],
    [{ limits: [{ ...limit, window: 29 }] }],
    [{ limits: [{ ...limit, window: 7201 }] }],
    [{ limits: [{ ...limit, spread: 0 }] }],
    [{ limits: [{ on: "difference", window: 60, slope: 0 }] }],
    [{ limits: [{ on: "difference", window: 60 }] }],
    [{ limits: Array.from({ length: 17 }, () => limit) }],
  ])("by written rules may not be %j", (rules) => expect(settlingRulesSchema.safeParse(rules).success).toBe(false));
});

describe("the order of the points", () => {
  it("is the one of least time where nothing binds it", () => {
    expect(orderSchema.parse({})).toEqual({ kind: "least-time" });
    for (const kind of ["as-written", "rising", "falling", "least-time"])
      expect(orderSchema.parse({ kind, first: 0 })).toEqual({ kind, first: 0 });
    expect(orderSchema.safeParse({ kind: "random" }).success).toBe(false);
    expect(orderSchema.safeParse({ last: 0 }).success).toBe(false);
  });
});

describe("a job", () => {
  const job = inventedJob();
  const refused = (change: object): string | undefined =>
    jobSchema
      .safeParse({ ...job, ...change })
      .error?.issues[0]?.path.map(String)
      .join(".");

  it("is kept through JSON as it is, with what may be left out", () => {
    const full = {
      ...job,
      certificate: "C-77",
      authorisedBy: "Demo head",
      laboratory: { ...job.laboratory, contact: "demo@example.invalid", country: "GB", accreditation: "0000" },
      conditions: {
        ambientTemperature: { value: 22, halfWidth: 0 },
        relativeHumidity: { value: 100, halfWidth: 5 },
        remarks: "draught",
      },
    };
    expect(jobSchema.parse(JSON.parse(JSON.stringify(full)))).toEqual(full);
    const { rehearsal: _, ...real } = full;
    expect(jobSchema.parse(real).rehearsal).toBe(false);
    expect(jobSchema.parse({ ...job, title: "  Retorts " }).title).toBe("Retorts");
  });

  it.each([
    ["job", { job: "a b" }],
    ["title", { title: " " }],
    ["items", { items: [] }],
    ["laboratory.address", { laboratory: { ...job.laboratory, address: [] } }],
    ["laboratory.country", { laboratory: { ...job.laboratory, country: "gb" } }],
    ["laboratory.country", { laboratory: { ...job.laboratory, country: "G" } }],
    ["laboratory.country", { laboratory: { ...job.laboratory, country: "GBR" } }],
    ["customer", { customer: { ...job.customer, accreditation: "0000" } }],
    ["conditions.ambientTemperature.halfWidth", { conditions: { ambientTemperature: { value: 22, halfWidth: -1 } } }],
    [
      "conditions.relativeHumidity.value",
      { conditions: { ...job.conditions, relativeHumidity: { value: 101, halfWidth: 1 } } },
    ],
    [
      "conditions.relativeHumidity.value",
      { conditions: { ...job.conditions, relativeHumidity: { value: -1, halfWidth: 1 } } },
    ],
    [
      "conditions.relativeHumidity.halfWidth",
      { conditions: { ...job.conditions, relativeHumidity: { value: 0, halfWidth: -1 } } },
    ],
    [
      "bench.instruments.0.role",
      { bench: { ...job.bench, instruments: [{ id: "a", entry: "b", at: "simulated", role: "c" }] } },
    ],
    [
      "bench.channels.shown.input",
      { bench: { ...job.bench, channels: { shown: { instrument: "a", input: 0, unit: "Ω" } } } },
    ],
    ["bench.channels.shown.unit", { bench: { ...job.bench, channels: { shown: { instrument: "a", unit: "V" } } } }],
    ["", { colour: "red" }],
  ])("is refused at %s", (path, change) => expect(refused(change)).toBe(path));

  it("reads the first input of an instrument where none is said", () => {
    const { bench } = jobSchema.parse({
      ...job,
      bench: {
        ...job.bench,
        channels: { shown: { instrument: "a", unit: "Ω" }, b: { instrument: "a", input: 2, unit: "mV" } },
      },
    });
    expect(bench.channels).toEqual({
      shown: { instrument: "a", input: 1, unit: "Ω" },
      b: { instrument: "a", input: 2, unit: "mV" },
    });
  });
});

import { describe, expect, test } from "vitest";
import type { EventDraft, Job, Pass } from "#calibration";
import {
  adjustedItem,
  measuredPoint,
  passResult,
  sampleJob,
  sampleLog,
  sampleResult,
  sampleRun,
} from "../fixtures/sample-run.test-support.ts";
import { switchRun } from "../fixtures/switch-run.test-support.ts";
import { certificateDocument } from "./certificate-document.ts";
import { checkBeforeIssue } from "./check-before-issue.ts";
import type { IssueData } from "./issue-data.ts";

/*
 * The check list of a certificate, row by row, in the order in which docs/guides/certificate.md prints it. Rows are those of
 * ISO/IEC 17025:2017, 7.8.2, 7.8.4, 7.8.6 and 7.8.8 and of ILAC-P14:09/2020 (clause letters from memory). A row that the
 * paper always answers is proved on the document; a row that somebody must answer is proved by leaving the answer out.
 */

type Change = (job: Job) => Job;
const same: Change = (job) => job;

const documentOf = (change: Change = same, issued: Partial<IssueData> = {}) => {
  const run = sampleRun(change);
  return certificateDocument({
    ...run,
    issued: { ...run.issued, ...issued },
    language: "en",
    logHash: "0".repeat(64),
    fit: true,
  });
};
const stops = (change: Change, issued: Partial<IssueData> = {}): readonly string[] => {
  const run = sampleRun(change);
  const found = checkBeforeIssue({ ...run, issued: { ...run.issued, ...issued } });
  return found.stops.map(({ clause }) => clause);
};
const warnings = (change: Change, issued: Partial<IssueData> = {}): readonly string[] => {
  const run = sampleRun(change);
  const found = checkBeforeIssue({ ...run, issued: { ...run.issued, ...issued } });
  return found.warnings.map(({ clause, message }) => `${clause}: ${message}`);
};
const facts = (document: ReturnType<typeof documentOf>) =>
  Object.fromEntries(document.facts.map(({ label, text }) => [label, text]));
const statement = (document: ReturnType<typeof documentOf>, id: string) =>
  document.statements.find((entry) => entry.id === id)?.text;
const eachItem =
  (change: Partial<Job["items"][number]>): Change =>
  (job) => ({ ...job, items: job.items.map((item) => ({ ...item, ...change })) });
const laboratory =
  (change: Partial<Job["laboratory"]>): Change =>
  (job) => ({ ...job, laboratory: { ...job.laboratory, ...change } });

describe("the check list, 1 to 11", () => {
  test("row 1: the title", () => expect(documentOf().title).toBe("Calibration certificate"));
  test("row 2: laboratory and address", () => {
    expect(stops(laboratory({ name: " " }))).toContain("7.8.2.1 b");
    expect(stops(laboratory({ address: [" "] }))).toContain("7.8.2.1 b");
    expect(documentOf().laboratory.lines).toEqual(["4 Weir Lane", "Calder Vale"]);
  });
  test("row 3: place of the work", () => {
    expect(stops((job) => ({ ...job, place: " " }))).toEqual(["7.8.2.1 c"]);
    expect(facts(documentOf())["Place of calibration"]).toContain("pasteuriser hall");
  });
  test("row 4: a number; its pages and end are proved on the PDF", () => {
    expect(stops((job) => ({ ...job, certificate: "" }))).toEqual(["7.8.2.1 d"]);
    expect(documentOf().labels).toMatchObject({ page: "Page", of: "of", end: "End of certificate" });
  });
  test("row 5: customer and contact", () => {
    expect(stops((job) => ({ ...job, customer: { ...job.customer, address: [] } }))).toEqual(["7.8.2.1 e"]);
    expect(warnings((job) => ({ ...job, customer: { ...job.customer, contact: undefined } }))).toContainEqual(
      expect.stringContaining("The customer has no contact"),
    );
  });
  test("row 6: method and revision", () => {
    const without: Change = (job) => ({
      ...job,
      procedure: { ...job.procedure, method: { ...job.procedure.method, identifier: "" } },
    });
    expect(stops(without)).toEqual(["7.8.2.1 f"]);
    expect(facts(documentOf())["Method"]).toBe("CVC-M-03, revision 4");
  });
  test("row 7: item, identity and condition", () => {
    expect(stops(eachItem({ tag: " " }))).toEqual(["7.8.2.1 g"]);
    expect(warnings(eachItem({ condition: undefined }))).toContainEqual(
      expect.stringContaining("condition as received"),
    );
  });
  test("row 8: day of receipt, where the job gives it", () => {
    const dated = documentOf(eachItem({ received: "2026-03-28" }));
    expect(dated.items[0]!.facts).toContainEqual({ label: "Date of receipt", text: "2026-03-28" });
    expect(documentOf().items[0]!.facts.map(({ label }) => label)).not.toContain("Date of receipt");
  });
  test("row 9: days of performance", () => {
    const run = sampleRun();
    const open = checkBeforeIssue({ ...run, result: { ...run.result, outcome: "open" } });
    expect(open.stops.map(({ clause }) => clause)).toEqual(["7.8.2.1 i"]);
    expect(facts(documentOf())["Date of calibration"]).toBe("2026-03-30 to 2026-03-31");
  });
  test("row 10: day of issue", () => {
    expect(stops(same, { date: "2026-03-30" })).toEqual(["7.8.2.1 j"]);
    expect(facts(documentOf())["Date of issue"]).toBe("2026-04-02");
  });
  test("row 11: there is no sampling, and nothing is said of it", () =>
    expect(JSON.stringify(documentOf())).not.toMatch(/sampling/i));
});

describe("the check list, 12 to 22", () => {
  test("row 12: results relate only to the items", () =>
    expect(statement(documentOf(), "scope")).toContain("relate only to the items calibrated"));
  test("row 13: results with units, on the ITS-90", () => {
    const document = documentOf();
    expect(document.items[0]!.passes[0]!.columns.slice(0, 5).map(({ unit }) => unit)).toEqual([
      "°C",
      "°C",
      "°C",
      "K",
      "K",
    ]);
    expect(statement(document, "traceability")).toContain("ITS-90");
    const empty = sampleRun((job) => ({ ...job, items: [...job.items, { ...job.items[0]!, id: "two", tag: "TWO" }] }));
    expect(checkBeforeIssue(empty).stops.map(({ clause }) => clause)).toEqual(["7.8.2.1 m"]);
  });
  test("row 14: deviations are said, and that there are none where there are none", () => {
    expect(statement(documentOf(), "deviations")).toBe("None from the method.");
    const job = sampleJob();
    const items = [adjustedItem(job)];
    const rejected: EventDraft = {
      kind: "reading-rejected",
      at: 10,
      channel: "item-1",
      time: 5,
      reason: "door opened",
    } as EventDraft;
    const document = certificateDocument({
      log: sampleLog(job, items, [rejected]),
      result: { ...sampleResult(job, items), outcome: "stopped" },
      issued: { date: "2026-04-02" },
      language: "en",
      logHash: "",
      fit: true,
    });
    expect(statement(document, "deviations")).toBe(
      "The run was stopped before its end. One reading was rejected, with the reason in the run log.",
    );
  });
  test("row 15: who authorises", () => {
    expect(stops((job) => ({ ...job, authorisedBy: undefined }))).toEqual(["7.8.2.1 o"]);
    expect(documentOf(same, { authorisedBy: "Odile Brandt" }).people.authorisedBy).toBe("Odile Brandt");
  });
  test("row 16: nothing comes from other providers: a result that is not this log's is refused", () => {
    const run = sampleRun();
    const other = checkBeforeIssue({ ...run, result: { ...run.result, run: "elsewhere" } });
    expect(other.stops.map(({ clause }) => clause)).toEqual(["7.11"]);
  });
  test("row 17: reproduction in full only", () =>
    expect(statement(documentOf(), "reproduction")).toContain("only in full"));
  test("row 18: what the customer supplied, with what follows where it is wrong", () => {
    const text = statement(documentOf(), "customer-data");
    expect(text).toContain(
      "The customer supplied the tags of the items, their places in the plant, their ranges of use and the specification",
    );
    expect(text).toContain("the statement of conformity can be wrong with them");
    expect(statement(documentOf(eachItem({ place: undefined, range: undefined })), "customer-data")).not.toContain(
      "ranges",
    );
  });
  test("row 19: an uncertainty for each result, in its unit", () => {
    const job = sampleJob();
    const bare = { ...measuredPoint(job, 0, { error: 0.1, U: 0.05 }) };
    const items = [
      {
        ...adjustedItem(job),
        adjustment: null,
        passes: [passResult("as-found", [{ ...bare, budget: { ...bare.budget, U: 0 } }])],
      },
    ];
    const found = checkBeforeIssue({
      log: sampleLog(job, items),
      result: sampleResult(job, items),
      issued: { date: "2026-04-02" },
    });
    expect(found.stops.map(({ clause }) => clause)).toContain("7.8.4.1 a");
  });
  test("row 20: conditions with influence", () => {
    const labels = documentOf().conditions.map(({ label }) => label);
    expect(labels).toEqual(
      expect.arrayContaining(["Points", "Readings", "Settling", "Ambient temperature", "Reference immersed"]),
    );
    expect(warnings(eachItem({ immersion: undefined }))).toContainEqual(
      expect.stringContaining("7.8.4.1 b: The job does not say how deep"),
    );
    expect(warnings(eachItem({ sensor: { kind: "thermocouple", type: "K" } }))).toContainEqual(
      expect.stringContaining("how the reference junction of TT-204 was known"),
    );
  });
  test("row 21: traceability, and how", () => {
    const without: Change = (job) => ({
      ...job,
      kit: {
        ...job.kit,
        readout: { ...job.kit.readout, calibration: { ...job.kit.readout.calibration, certificate: " " } },
      },
    });
    expect(stops(without)).toEqual(["7.8.4.1 c"]);
    expect(statement(documentOf(), "traceability")).toMatch(/PR-2207.*NT-25-3391.*TR-1180.*NT-25-3402/);
  });
  test.each<[Pass]>([["as-found"], ["as-left"]])("row 22: adjusted, and without results %s", (missing) => {
    const job = sampleJob();
    const whole = adjustedItem(job);
    const items = [{ ...whole, passes: whole.passes.filter(({ pass }) => pass !== missing) }];
    const found = checkBeforeIssue({
      log: sampleLog(job, items),
      result: sampleResult(job, items),
      issued: { date: "2026-04-02" },
    });
    expect(found.stops.map(({ clause }) => clause)).toEqual(["7.8.4.1 d"]);
  });
});

describe("the check list, 23 to 34", () => {
  test("row 23: conformity, or why there is none", () => {
    const run = sampleRun();
    const result = {
      ...run.result,
      items: run.result.items.map((item) => ({
        ...item,
        passes: item.passes.map((pass) => ({
          ...pass,
          points: pass.points.map((point) => ({ ...point, conformity: null, conformityNote: null })),
        })),
      })),
    };
    expect(checkBeforeIssue({ ...run, result }).stops.map(({ clause }) => clause)).toEqual(Array(8).fill("7.8.6.2"));
  });
  test("row 24: there are no opinions", () => {
    expect(documentOf().statements.map(({ id }) => id)).toEqual([
      "traceability",
      "uncertainty",
      "stability",
      "decision-rule",
      "deviations",
      "customer-data",
      "scope",
      "reproduction",
    ]);
  });
  test.each([
    "Next calibration in May",
    "Recalibrate within a year",
    "nächste Kalibrierung: 2027",
    "Próxima calibración en mayo",
    "Prochain étalonnage en mai",
  ])("row 25: no interval unless agreed: the remark %s", (remarks) => {
    const said: Change = (job) => ({ ...job, conditions: { ...job.conditions, remarks } });
    expect(stops(said)).toEqual(["7.8.4.3"]);
    expect(stops(said, { withoutRemarks: true })).toEqual([]);
    expect(documentOf(said, { withoutRemarks: true }).conditions.map(({ label }) => label)).not.toContain("Remarks");
    expect(stops(said, { interval: { due: "2027-05-01", agreedWith: "Maintenance office" } })).toEqual([]);
  });
  test("row 25: an agreed interval counts from the end of the calibration and names who agreed", () => {
    const agreed: Change = (job) => ({ ...job, interval: { months: 11, agreedWith: "Maintenance office" } });
    expect(facts(documentOf(agreed))["Next calibration"]).toBe("2027-02-28, as agreed with Maintenance office");
    expect(documentOf().dates.due).toBeNull();
    expect(JSON.stringify(documentOf())).not.toMatch(/next calibration in|recalibrat/i);
    expect(stops(same, { interval: { due: "2026-03-31", agreedWith: "them" } })).toEqual(["7.8.4.3"]);
    expect(stops(same, { interval: { due: "2027-03-31", agreedWith: " " } })).toEqual(["7.8.4.3"]);
  });
  test("rows 26 and 27: which results, which specification, which rule with its risk", () => {
    const text = statement(documentOf(), "decision-rule");
    expect(text).toContain("for each point of the tables of results with a decision");
    expect(text).toContain("against the specification named with the item");
    expect(text).toContain("w = U");
    expect(text).toContain("2.5 % or less");
    const none: Change = (job) => ({
      ...job,
      procedure: { ...job.procedure, decision: { kind: "none" } as unknown as Job["procedure"]["decision"] },
    });
    expect(stops(none)).toEqual(["7.8.6.1"]);
  });
  const amends = { number: "CVC-2026-00412", date: "2026-04-02", reason: "The serial number was misread" };
  test.each([
    [{ number: "CVC-2026-00412" }, amends, 1],
    [{ number: "A-1" }, { ...amends, reason: " " }, 1],
    [{ number: "A-1", date: "2026-04-01" }, amends, 1],
    [{ number: "A-1" }, amends, 0],
  ])("row 28: an amendment %o to %o has %i stops", (issued, to, count) =>
    expect(stops(same, { ...issued, amends: to })).toEqual(Array(count).fill("7.8.8")),
  );
  test("row 28: a correction that names an unknown item is refused", () =>
    expect(stops(same, { corrections: [{ field: "item.serial", item: "tt-999", value: "X" }] })).toEqual(["7.8.8"]));
  test("row 29: the accreditation stands there only where the whole result lies within the scope", () => {
    const scope = (to: number) =>
      laboratory({ accreditation: "Accredited laboratory 0000 (invented)", capability: [{ from: -20, to, U: 0.05 }] });
    const within = documentOf(scope(150));
    expect(within.laboratory.accreditation).toContain("0000");
    expect(statement(within, "accreditation")).toContain("All results lie within the scope");
    const outside = documentOf(scope(120));
    expect(outside.laboratory.accreditation).toBeNull();
    expect(statement(outside, "accreditation")).toContain("outside the laboratory's accreditation");
    expect(outside.items[0]!.passes[0]!.remarks).toContainEqual(
      "The results at 150\u202f°C lie outside the laboratory's scope of accreditation.",
    );
    expect(warnings(scope(120))).toContainEqual(expect.stringContaining("ILAC-P8: Not every result"));
    expect(warnings(laboratory({ accreditation: "0000" }))).toContainEqual(
      expect.stringContaining("the job does not state its capability"),
    );
    expect(documentOf(laboratory({ accreditation: "0000" })).laboratory.accreditation).toBeNull();
  });
  test("row 29: a capability for other kinds of item is none for this one", () => {
    const other = laboratory({
      accreditation: "0000",
      capability: [{ sensors: ["switch"], from: -20, to: 200, U: 0.05 }],
    });
    expect(documentOf(other).laboratory.accreditation).toBeNull();
  });
  test("row 30: the equipment with identity, certificate and validity", () => {
    expect(documentOf().equipment).toMatchObject([
      { role: "reference", serial: "PR-2207", certificate: "NT-25-3391", due: "2026-11-04" },
      { role: "readout", serial: "TR-1180", certificate: "NT-25-3402", due: "2026-11-06" },
      { role: "source", serial: "DB-0914", date: "2025-12-01" },
    ]);
    const bare: Change = (job) => ({
      ...job,
      kit: { ...job.kit, source: { ...job.kit.source, characterised: undefined } },
    });
    expect(warnings(bare)).toContainEqual(expect.stringContaining("The heat source DB-0914"));
  });
  test("row 31: what was adjusted, by whom, with whose permission", () =>
    expect(documentOf().items[0]!.adjustment).toMatch(
      /changed by −0\.400.*Imke Torvald.*permission of Maintenance office/,
    ));
  test("row 32: what was not calibrated, for every kind of item", () => {
    expect(documentOf().items[0]!.notCalibrated).toContain("control system");
    const run = switchRun([90.3, 86.9, 90.4, 86.8]);
    const document = certificateDocument({ ...run, language: "en", logHash: "", fit: true });
    expect(document.items[0]!.notCalibrated).toContain("load or switching capacity");
  });
  test("row 33: the reference function", () => {
    const document = documentOf(eachItem({ sensor: { kind: "thermocouple", type: "K" } }));
    expect(document.items[0]!.facts).toContainEqual({
      label: "Sensor",
      text: "Thermocouple type K, reference function of IEC 60584-1",
    });
  });
  test("row 34: readings and the criterion that was met", () => {
    const { columns, rows } = documentOf().items[0]!.evidence;
    expect(columns).toContain("Readings");
    expect(rows[0]!.slice(-2)).toEqual(["0.020", "0.10"]);
  });
});

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { XmlDocument, XsdValidator } from "libxml2-wasm";
import { xmlRegisterFsInputProviders } from "libxml2-wasm/lib/nodejs.mjs";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Job } from "#calibration";
import {
  adjustedItem,
  measuredPoint,
  passResult,
  sampleJob,
  sampleLog,
  sampleResult,
  sampleRun,
} from "../fixtures/sample-run.test-support.ts";
import { amendedRun, sampleCertificates } from "../fixtures/sample-certificates.test-support.ts";
import type { Language } from "../document/issue-data.ts";
import { xmlStops } from "../document/verify/check-xml.ts";
import { logHash } from "./log-hash.ts";
import { renderCertificate } from "./render-certificate.ts";

/** The words of the schema's list of conformity (DCC 3.3.0, stringConformityStatementStatusType). */
const statusWords = {
  pass: "pass",
  "conditional-pass": "conditionalPass",
  undecided: "noPass",
  "conditional-fail": "conditionalFail",
  fail: "fail",
  none: "noPass",
} as const;

const names = { dcc: "https://ptb.de/dcc", si: "https://ptb.de/si" };

/** Runs whose XML must hold: every shape that the writer has a branch for. */
const runs = {
  "adjusted transmitter": () => sampleRun(),
  "job with the least that it may say": () =>
    sampleRun((job) => {
      return {
        ...job,
        laboratory: { ...job.laboratory, country: undefined, contact: undefined },
        conditions: { ambientTemperature: job.conditions.ambientTemperature },
        items: job.items.map((item) => ({ ...item, model: undefined, immersion: undefined })),
      };
    }),
  "hostile text": () =>
    sampleRun((job) => ({
      ...job,
      place: ' <x/> ]]> &amp; "\u0000\u0001\ud800 ',
      customer: { ...job.customer, name: "A\u000bB <!-- c --> 温度" },
    })),
  "the four statements of a non-binary rule": () => {
    const job: Job = sampleJob((plain) => ({
      ...plain,
      procedure: { ...plain.procedure, passes: ["as-found"], decision: { kind: "g8-non-binary" } },
    }));
    const points = [0.35, 0.45, 0.55, 0.65].map((error, point) => measuredPoint(job, point, { error, U: 0.1 }));
    const items = [{ ...adjustedItem(job), adjustment: null, passes: [passResult("as-found", points)] }];
    return { ...sampleRun(), job, log: sampleLog(job, items), result: sampleResult(job, items) };
  },
  "several items, skipped, undecided and without tolerance": () => {
    const job: Job = sampleJob((plain) => ({
      ...plain,
      items: ["a", "b"].map((id) => ({ ...plain.items[0]!, id, tag: id.toUpperCase() })),
    }));
    const good = adjustedItem(job);
    const points = [
      measuredPoint(job, 0, { error: 0.1, U: 0.6 }),
      { ...measuredPoint(job, 1, { error: 0.1, U: 0.05 }), conformity: null, conformityNote: "no tolerance" },
      { status: "skipped" as const, point: 2, nominal: 100, reason: "no time", origin: [9] },
    ];
    const items = [
      { ...good, item: "a", tag: "A" },
      {
        item: "b",
        tag: "B",
        adjustment: null,
        passes: [
          passResult("as-found", points),
          passResult("as-left", [
            { status: "not-measured" as const, point: 0, nominal: 0, reason: "stopped", origin: [] },
          ]),
        ],
      },
    ];
    return { job, log: sampleLog(job, items), result: sampleResult(job, items), issued: { date: "2026-04-02" } };
  },
};

describe.each(Object.entries(runs))("the XML of a run: %s", (_, make) => {
  const run = make();
  const { xml, document } = renderCertificate(run);
  let parsed: XmlDocument;
  beforeAll(() => {
    parsed = XmlDocument.fromString(xml);
  });
  afterAll(() => parsed.dispose());
  const texts = (path: string): readonly string[] => parsed.find(path, names).map((node) => node.content);

  test("has the parts that a calibration certificate must have, each once", () => {
    const once = [
      "/dcc:digitalCalibrationCertificate[@schemaVersion='3.3.0']",
      "//dcc:administrativeData/dcc:dccSoftware/dcc:software/dcc:release",
      "//dcc:coreData/dcc:uniqueIdentifier",
      "//dcc:coreData/dcc:beginPerformanceDate",
      "//dcc:coreData/dcc:endPerformanceDate",
      "//dcc:coreData/dcc:issueDate",
      "//dcc:calibrationLaboratory/dcc:contact/dcc:name/dcc:content",
      "//dcc:administrativeData/dcc:customer/dcc:name/dcc:content",
      "//dcc:respPerson[dcc:mainSigner='true']",
    ];
    expect(once.filter((path) => parsed.find(path, names).length !== 1)).toEqual([]);
    expect(texts("//dcc:coreData/dcc:uniqueIdentifier")).toEqual([document.number]);
    expect(
      texts("//dcc:items/dcc:item/dcc:identifications/dcc:identification[dcc:issuer='customer']/dcc:value"),
    ).toEqual(run.job.items.map(({ tag }) => tag));
  });

  test("names the run and the hash of its log", () => {
    expect(texts("//dcc:coreData//dcc:identification[dcc:name/dcc:content='Run']/dcc:value")).toEqual(["run-0117-1"]);
    expect(
      texts("//dcc:coreData//dcc:identification[dcc:name/dcc:content='SHA-256 of the run log']/dcc:value"),
    ).toEqual([logHash(run.log)]);
  });

  test("holds one number a measured point in every list, in the words of the reported result", () => {
    for (const [index, item] of document.items.entries()) {
      const passes = parsed.find(`//dcc:measurementResult[${index + 1}]/dcc:results/dcc:result`, names);
      expect(passes).toHaveLength(item.passes.length);
      for (const [at, pass] of item.passes.entries()) {
        if (pass.rows.length === 0) continue;
        const base = `//dcc:measurementResult[${index + 1}]/dcc:results/dcc:result[${at + 1}]`;
        for (const list of texts(`${base}//si:valueXMLList`)) expect(list.split(" ")).toHaveLength(pass.rows.length);
        const error = `${base}//dcc:quantity[@refType='basic_measurementError']/si:realListXMLList`;
        expect(texts(`${error}/si:valueXMLList`)).toEqual([pass.rows.map((row) => row.error.plain).join(" ")]);
        expect(texts(`${error}//si:valueExpandedMUXMLList`)).toEqual([pass.rows.map((row) => row.U.plain).join(" ")]);
        expect(texts(`${error}//si:coverageFactorXMLList`)).toEqual([pass.rows.map((row) => row.k.plain).join(" ")]);
        expect(
          texts(
            `${base}//dcc:quantity[@refType='basic_referenceValue']/si:hybrid/si:realListXMLList[2]/si:valueXMLList`,
          ),
        ).toEqual([pass.rows.map((row) => row.reference.plain).join(" ")]);
        expect(texts(`${base}//dcc:conformityXMLList`)).toEqual([
          pass.rows.map(({ decision }) => statusWords[decision.kind]).join(" "),
        ]);
      }
    }
  });

  test("lists reference, readout and source, and the reference's certificate", () => {
    const equipment = "//dcc:measurementResult[1]/dcc:measuringEquipments/dcc:measuringEquipment";
    expect(texts(`${equipment}/dcc:identifications/dcc:identification[dcc:issuer='manufacturer']/dcc:value`)).toEqual([
      "PR-2207",
      "TR-1180",
      "DB-0914",
    ]);
    expect(texts(`${equipment}[1]/dcc:identifications/dcc:identification[dcc:issuer='other']/dcc:value`)).toEqual([
      "NT-25-3391",
    ]);
  });
});

describe("the languages of the XML", () => {
  const texts = (xml: string, path: string): string[] => {
    const parsed = XmlDocument.fromString(xml);
    try {
      return parsed.find(path, names).map((node) => node.content);
    } finally {
      parsed.dispose();
    }
  };

  test.each<[readonly Language[], readonly string[]]>([
    [["en"], ["en", "de"]],
    [["de"], ["de", "en"]],
    [
      ["fr", "es"],
      ["fr", "es", "en", "de"],
    ],
  ])("chosen %o: it has %o, and the first is the one that must be understood", (chosen, all) => {
    const { xml } = renderCertificate({ ...sampleRun(), issued: { date: "2026-04-02", languages: chosen } });
    expect(texts(xml, "//dcc:usedLangCodeISO639_1")).toEqual(all);
    expect(texts(xml, "//dcc:mandatoryLangCodeISO639_1")).toEqual([chosen[0]]);
    for (const language of all)
      expect(
        texts(xml, `//dcc:quantity[@refType='basic_measurementError']/dcc:name/dcc:content[@lang='${language}']`),
      ).toHaveLength(2);
  });

  test("a text stands in every language, or once without one where all have it alike", () => {
    for (const make of Object.values(sampleCertificates)) {
      const { xml } = renderCertificate(make());
      const parsed = XmlDocument.fromString(xml);
      try {
        const used = parsed.find("//dcc:usedLangCodeISO639_1", names).length;
        for (const node of parsed.find("//*[dcc:content[@lang]]", names)) {
          const inside = node.find("dcc:content[@lang]", names).map((content) => content.get("@lang")!.content);
          expect(inside.length % used).toBe(0);
          expect(new Set(inside).size).toBe(used);
        }
      } finally {
        parsed.dispose();
      }
    }
  });
});

describe("the XML of an amended certificate", () => {
  const run = amendedRun();
  const { xml } = renderCertificate(run);

  test("names the replaced one, and its XML by hash", () => {
    const parsed = XmlDocument.fromString(xml);
    try {
      const text = (path: string): string | undefined => parsed.get(`//dcc:coreData/${path}`, names)?.content;
      expect(text("dcc:reportAmendedSubstituted/dcc:typeOfChange")).toBe("amended");
      expect(text("dcc:reportAmendedSubstituted/dcc:replacedUniqueIdentifier")).toBe("CVC-2026-00412");
      expect(text("dcc:previousReport/dcc:referralID")).toBe("CVC-2026-00412");
      expect(text("dcc:previousReport/dcc:procedure")).toBe("SHA-256");
      expect(text("dcc:previousReport/dcc:value")).toBe(run.issued.amends?.sha256);
    } finally {
      parsed.dispose();
    }
  });

  test("states what is changed, before and after", () => expect(xml).toContain("Serial number: HX-88213 → HX-88231."));
});

describe("the own check of every XML", () => {
  const { xml, document } = renderCertificate(sampleRun());

  test("finds nothing in what was written", () => expect(xmlStops(xml, document)).toEqual([]));

  test.each([
    ["a digit", "<si:valueExpandedMUXMLList>0.094", "<si:valueExpandedMUXMLList>0.095", "states 0.095 for U of error"],
    ["a missing list", 'refType="basic_measurementError"', 'refType="basic_other"', "states"],
    ["the number", ">CVC-2026-00412<", ">CVC-2026-00413<", "another number"],
    ["an open element", "</dcc:items>", "", "cannot be read again"],
  ])("%s that is wrong forbids issue", (_, from, to, words) => {
    const found = xmlStops(xml.replace(from, to), document);
    expect(found.map(({ message }) => message).join(" ")).toContain(words);
  });
});

/**
 * The published schemas are under a licence of their own and do not lie in this repository; the variable names their folder.
 * Without it the validation does not run, which is said aloud, and the structural check above is all there is.
 */
const schemaFolder = process.env["DWELLPOINT_DCC_SCHEMAS"];

/** What a validation says: null where it did not run. */
type Validation = (xml: string) => string | null;

const validation = (folder: string): Validation => {
  xmlRegisterFsInputProviders();
  const file = join(folder, "dcc-v3.3.0-offline.xsd");
  const schema = XmlDocument.fromBuffer(readFileSync(file), { url: file });
  const validator = XsdValidator.fromDoc(schema);
  return (xml) => {
    const parsed = XmlDocument.fromString(xml);
    try {
      validator.validate(parsed);
      return "valid";
    } catch (thrown) {
      return thrown instanceof Error ? thrown.message : String(thrown);
    } finally {
      parsed.dispose();
    }
  };
};

const notRun: Validation = () => {
  console.warn(
    "Validation against the DCC schema did not run: DWELLPOINT_DCC_SCHEMAS names no folder. The structural check did.",
  );
  return null;
};

describe("the published schema of the Digital Calibration Certificate 3.3.0 (Physikalisch-Technische Bundesanstalt)", () => {
  const validate = schemaFolder === undefined ? notRun : validation(schemaFolder);

  const all = { ...runs, ...sampleCertificates };
  test.each(Object.entries(all))("accepts the XML of a run: %s", (_, make) => {
    expect(["valid", null]).toContain(validate(renderCertificate(make()).xml));
  });

  test("would refuse one that lacks its number", () => {
    const { xml } = renderCertificate(sampleRun());
    expect(
      validate(xml.replace(/<dcc:uniqueIdentifier>[^<]*<\/dcc:uniqueIdentifier>/, "")) ?? "uniqueIdentifier",
    ).toContain("uniqueIdentifier");
  });
});

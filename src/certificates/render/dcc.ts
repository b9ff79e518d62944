import { create } from "xmlbuilder2";
import type { XMLBuilder } from "xmlbuilder2/lib/interfaces.js";
import type { PartyText } from "../document/model.ts";
import { writeResults } from "./dcc-results.ts";
import { addContents, addText, type Documents, type TextOf, type Writer, xmlText } from "./dcc-text.ts";

const dccNamespace = "https://ptb.de/dcc";
const siNamespace = "https://ptb.de/si";
const schemaNamespace = "http://www.w3.org/2001/XMLSchema-instance";

/** ISO 3166-1 keeps ZZ for its users; here it stands for a country that the job does not name. */
const unknownCountry = "ZZ";

const identification = (
  parent: XMLBuilder,
  issuer: string,
  value: string,
  documents: Documents,
  name: TextOf,
): void => {
  const entry = parent.ele("dcc:identification");
  entry.ele("dcc:issuer").txt(issuer);
  entry.ele("dcc:value").txt(xmlText(value));
  addText(entry, "dcc:name", documents, name);
};

const location = (parent: XMLBuilder, party: PartyText): void => {
  const place = parent.ele("dcc:location");
  if (party.country !== null) place.ele("dcc:countryCode").txt(party.country);
  const further = place.ele("dcc:further");
  for (const line of party.lines) further.ele("dcc:content").txt(xmlText(line));
};

const isMail = (text: string): boolean => /^[^\s@]+@[^\s@]+$/.test(text);

const contact = (parent: XMLBuilder, party: PartyText): void => {
  parent.ele("dcc:name").ele("dcc:content").txt(xmlText(party.name));
  if (party.contact !== null && isMail(party.contact)) parent.ele("dcc:eMail").txt(xmlText(party.contact));
  const lines = [
    ...party.lines,
    ...(party.contact !== null && !isMail(party.contact) ? [party.contact] : []),
    ...(party.accreditation === null ? [] : [party.accreditation]),
  ];
  location(parent, { ...party, lines });
};

const software: Writer = (parent, [{ record }]) => {
  const entry = parent.ele("dcc:dccSoftware").ele("dcc:software");
  entry.ele("dcc:name").ele("dcc:content").txt(xmlText(record.software.name));
  entry.ele("dcc:release").txt(xmlText(record.software.version));
  entry.ele("dcc:type").txt("application");
};

/** What this certificate replaces, where it amends one: its number, and the hash of its XML (DCC 3.3.0, previousReport). */
const previousReport: Writer = (core, documents) => {
  const { amendment } = documents[0];
  if (amendment === null) return;
  const replaced = core.ele("dcc:reportAmendedSubstituted");
  replaced.ele("dcc:typeOfChange").txt("amended");
  replaced.ele("dcc:replacedUniqueIdentifier").txt(xmlText(amendment.number));
  if (amendment.sha256 === null) return;
  const previous = core.ele("dcc:previousReport");
  addText(previous, "dcc:referral", documents, ({ data }) => data.previous);
  previous.ele("dcc:referralID").txt(xmlText(amendment.number));
  previous.ele("dcc:procedure").txt("SHA-256");
  previous.ele("dcc:value").txt(amendment.sha256);
  addText(previous, "dcc:description", documents, (document) => document.amendment?.text ?? "");
};

const coreData: Writer = (parent, documents) => {
  const [first] = documents;
  const { dates, record } = first;
  const core = parent.ele("dcc:coreData");
  core.ele("dcc:countryCodeISO3166_1").txt(first.laboratory.country ?? unknownCountry);
  for (const { language } of documents) core.ele("dcc:usedLangCodeISO639_1").txt(language);
  core.ele("dcc:mandatoryLangCodeISO639_1").txt(first.language);
  core.ele("dcc:uniqueIdentifier").txt(xmlText(first.number));
  const identifications = core.ele("dcc:identifications");
  identification(identifications, "calibrationLaboratory", record.job, documents, ({ data }) => data.job);
  identification(identifications, "calibrationLaboratory", record.run, documents, ({ data }) => data.run);
  identification(identifications, "other", record.logHash, documents, ({ data }) => data.hash);
  if (dates.received !== null) core.ele("dcc:receiptDate").txt(dates.received);
  core.ele("dcc:beginPerformanceDate").txt(dates.begun);
  core.ele("dcc:endPerformanceDate").txt(dates.ended);
  core.ele("dcc:performanceLocation").txt("other");
  core.ele("dcc:issueDate").txt(dates.issued);
  previousReport(core, documents);
};

const items: Writer = (parent, documents) => {
  const [first] = documents;
  const list = parent.ele("dcc:items");
  for (const [index, item] of first.items.entries()) {
    // An XML ID may not begin with a digit, so it is the item's place and not its name.
    const entry = list.ele("dcc:item", { id: `item-${index + 1}` });
    addText(entry, "dcc:name", documents, (document) => document.items[index]!.description);
    const description = entry.ele("dcc:description");
    for (const [at] of item.facts.entries()) {
      addContents(description, documents, (document) => {
        const { label, text } = document.items[index]!.facts[at]!;
        return `${label}: ${text}`;
      });
    }
    if (item.model !== null) entry.ele("dcc:model").txt(xmlText(item.model));
    const identifications = entry.ele("dcc:identifications");
    identification(identifications, "manufacturer", item.serial, documents, ({ data }) => data.serial);
    identification(identifications, "customer", item.tag, documents, ({ data }) => data.tag);
    identification(identifications, "calibrationLaboratory", item.item, documents, ({ data }) => data.item);
  }
};

const people: Writer = (
  parent,
  [
    {
      people: { technician, authorisedBy },
      data,
    },
  ],
) => {
  const persons = parent.ele("dcc:respPersons");
  const person = (name: string, role: string, signer: boolean): void => {
    const entry = persons.ele("dcc:respPerson");
    entry.ele("dcc:person").ele("dcc:name").ele("dcc:content").txt(xmlText(name));
    entry.ele("dcc:role").txt(role);
    if (signer) entry.ele("dcc:mainSigner").txt("true");
  };
  if (authorisedBy !== "") person(authorisedBy, data.people.authorised, true);
  person(technician, data.people.technician, authorisedBy === "");
};

const normOf = (clause: string): string =>
  clause.startsWith("7.") ? "ISO/IEC 17025:2017" : clause.startsWith("ILAC-P8") ? "ILAC-P8" : clause.split(",")[0]!;

const statement = (
  parent: XMLBuilder,
  documents: Documents,
  { name, clause, text, refType }: { name: TextOf; clause: string | null; text: TextOf; refType?: string },
): void => {
  const entry = parent.ele("dcc:statement", refType === undefined ? {} : { refType });
  addText(entry, "dcc:name", documents, name);
  if (clause !== null) {
    entry.ele("dcc:norm").txt(normOf(clause));
    entry.ele("dcc:reference").txt(clause);
  }
  addText(entry, "dcc:declaration", documents, text);
};

const statements: Writer = (parent, documents) => {
  const [first] = documents;
  const list = parent.ele("dcc:statements");
  for (const [index] of first.bands.entries())
    statement(list, documents, { name: ({ data }) => data.notice, clause: null, text: ({ bands }) => bands[index]! });
  if (first.amendment !== null) {
    statement(list, documents, {
      name: ({ labels }) => labels.amendment,
      clause: "7.8.8",
      text: ({ amendment }) =>
        [
          amendment!.text,
          ...amendment!.changes.map(({ what, before, after }) => `${what}: ${before} → ${after}.`),
        ].join(" "),
    });
  }
  for (const [index, { clause, id }] of first.statements.entries()) {
    statement(list, documents, {
      name: (document) => document.statements[index]!.heading,
      clause,
      text: (document) => document.statements[index]!.text,
      ...(id === "decision-rule" ? { refType: "basic_conformity" } : {}),
    });
  }
  statement(list, documents, { name: ({ data }) => data.place, clause: "7.8.2.1 c", text: ({ place }) => place });
};

/**
 * The certificate as Digital Calibration Certificate 3.3.0 (Physikalisch-Technische Bundesanstalt) with values in D-SI 2.2.1,
 * its texts in every language of the documents. Every figure is the reported one; programs and people read the same digits.
 */
export const dccXml = (documents: Documents): string => {
  const builder = create({ version: "1.0", encoding: "UTF-8" });
  const root = builder.ele("dcc:digitalCalibrationCertificate", {
    "xmlns:dcc": dccNamespace,
    "xmlns:si": siNamespace,
    "xmlns:xsi": schemaNamespace,
    "xsi:schemaLocation": `${dccNamespace} ${dccNamespace}/v3.3.0/dcc.xsd`,
    schemaVersion: "3.3.0",
  });
  const administrative = root.ele("dcc:administrativeData");
  software(administrative, documents);
  coreData(administrative, documents);
  items(administrative, documents);
  contact(administrative.ele("dcc:calibrationLaboratory").ele("dcc:contact"), documents[0].laboratory);
  people(administrative, documents);
  contact(administrative.ele("dcc:customer"), documents[0].customer);
  statements(administrative, documents);
  writeResults(root.ele("dcc:measurementResults"), documents);
  return `${builder.end({ prettyPrint: true })}\n`;
};

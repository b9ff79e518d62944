import { create } from "xmlbuilder2";
import type { XMLBuilder } from "xmlbuilder2/lib/interfaces.js";
import type { CertificateDocument, PartyText } from "../document/model.ts";
import { writeResults } from "./dcc-results.ts";
import { addText, type Writer, xmlText } from "./dcc-text.ts";

const dccNamespace = "https://ptb.de/dcc";
const siNamespace = "https://ptb.de/si";
const schemaNamespace = "http://www.w3.org/2001/XMLSchema-instance";

/** ISO 3166-1 keeps ZZ for its users; here it stands for a country that the job does not name. */
const unknownCountry = "ZZ";

const identification = (parent: XMLBuilder, issuer: string, value: string, name: string): void => {
  const entry = parent.ele("dcc:identification");
  entry.ele("dcc:issuer").txt(issuer);
  entry.ele("dcc:value").txt(xmlText(value));
  addText(entry, "dcc:name", name);
};

const location = (parent: XMLBuilder, party: PartyText): void => {
  const place = parent.ele("dcc:location");
  if (party.country !== null) place.ele("dcc:countryCode").txt(party.country);
  const further = place.ele("dcc:further");
  for (const line of party.lines) further.ele("dcc:content", { lang: "en" }).txt(xmlText(line));
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

const software: Writer = (parent, { record }) => {
  const entry = parent.ele("dcc:dccSoftware").ele("dcc:software");
  entry.ele("dcc:name").ele("dcc:content").txt(xmlText(record.software.name));
  entry.ele("dcc:release").txt(xmlText(record.software.version));
  entry.ele("dcc:type").txt("application");
};

const coreData: Writer = (parent, document) => {
  const { dates, record, language } = document;
  const core = parent.ele("dcc:coreData");
  core.ele("dcc:countryCodeISO3166_1").txt(document.laboratory.country ?? unknownCountry);
  core.ele("dcc:usedLangCodeISO639_1").txt(language);
  core.ele("dcc:mandatoryLangCodeISO639_1").txt(language);
  core.ele("dcc:uniqueIdentifier").txt(xmlText(document.number));
  const identifications = core.ele("dcc:identifications");
  identification(identifications, "calibrationLaboratory", record.job, "Job");
  identification(identifications, "calibrationLaboratory", record.run, "Run");
  identification(identifications, "other", record.logHash, "SHA-256 of the run log");
  core.ele("dcc:beginPerformanceDate").txt(dates.begun);
  core.ele("dcc:endPerformanceDate").txt(dates.ended);
  core.ele("dcc:performanceLocation").txt("other");
  core.ele("dcc:issueDate").txt(dates.issued);
};

const items: Writer = (parent, document) => {
  const list = parent.ele("dcc:items");
  for (const item of document.items) {
    const entry = list.ele("dcc:item", { id: itemId(document, item.item) });
    addText(entry, "dcc:name", item.description);
    const description = entry.ele("dcc:description");
    for (const { label, text } of item.facts)
      description.ele("dcc:content", { lang: "en" }).txt(xmlText(`${label}: ${text}`));
    if (item.model !== null) entry.ele("dcc:model").txt(xmlText(item.model));
    const identifications = entry.ele("dcc:identifications");
    identification(identifications, "manufacturer", item.serial, "Serial number");
    identification(identifications, "customer", item.tag, "Tag");
    identification(identifications, "calibrationLaboratory", item.item, "Item of the job");
  }
};

/** An XML ID of an item: an ID may not begin with a digit. */
const itemId = (document: CertificateDocument, item: string): string =>
  `item-${document.items.findIndex((candidate) => candidate.item === item) + 1}`;

const people: Writer = (parent, { people: { technician, authorisedBy } }) => {
  const persons = parent.ele("dcc:respPersons");
  const person = (name: string, role: string, signer: boolean): void => {
    const entry = persons.ele("dcc:respPerson");
    entry.ele("dcc:person").ele("dcc:name").ele("dcc:content").txt(xmlText(name));
    entry.ele("dcc:role").txt(role);
    if (signer) entry.ele("dcc:mainSigner").txt("true");
  };
  if (authorisedBy !== "") person(authorisedBy, "authorised by", true);
  person(technician, "calibrated by", authorisedBy === "");
};

const statement = (
  parent: XMLBuilder,
  name: string,
  clause: string | null,
  text: string,
  refType?: string,
): XMLBuilder => {
  const entry = parent.ele("dcc:statement", refType === undefined ? {} : { refType });
  addText(entry, "dcc:name", name);
  if (clause !== null) {
    entry.ele("dcc:norm").txt(clause.startsWith("7.") ? "ISO/IEC 17025:2017" : "ILAC-P14:09/2020");
    entry.ele("dcc:reference").txt(clause);
  }
  addText(entry, "dcc:declaration", text);
  return entry;
};

const statements: Writer = (parent, document) => {
  const list = parent.ele("dcc:statements");
  for (const band of document.bands) statement(list, "Notice", null, band);
  for (const { clause, heading, text, id } of document.statements) {
    statement(list, heading, clause, text, id === "decision-rule" ? "basic_conformity" : undefined);
  }
  statement(list, "Place of calibration", "7.8.2.1 c", document.place);
};

/**
 * The certificate as Digital Calibration Certificate 3.3.0 (Physikalisch-Technische Bundesanstalt) with values in D-SI 2.2.1.
 * Every figure is the reported one; programs and people read the same digits.
 */
export const dccXml = (document: CertificateDocument): string => {
  const builder = create({ version: "1.0", encoding: "UTF-8" });
  const root = builder.ele("dcc:digitalCalibrationCertificate", {
    "xmlns:dcc": dccNamespace,
    "xmlns:si": siNamespace,
    "xmlns:xsi": schemaNamespace,
    "xsi:schemaLocation": `${dccNamespace} ${dccNamespace}/v3.3.0/dcc.xsd`,
    schemaVersion: "3.3.0",
  });
  const administrative = root.ele("dcc:administrativeData");
  software(administrative, document);
  coreData(administrative, document);
  items(administrative, document);
  contact(administrative.ele("dcc:calibrationLaboratory").ele("dcc:contact"), document.laboratory);
  people(administrative, document);
  contact(administrative.ele("dcc:customer"), document.customer);
  statements(administrative, document);
  writeResults(root.ele("dcc:measurementResults"), document);
  return `${builder.end({ prettyPrint: true })}\n`;
};

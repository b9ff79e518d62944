import { languagesOf, type IssueData, type Language } from "./issue-data.ts";
import type { AmendedThing, AmendmentText, CertificateDocument, Fact, PartyText } from "./model.ts";
import type { Writing } from "./writing.ts";

/** Each language by its own name. */
const ownNames: Readonly<Record<Language, string>> = { en: "English", de: "Deutsch", es: "Español", fr: "Français" };

const partyLines = ({ name, lines, contact, accreditation }: PartyText): string =>
  [name, ...lines, ...(contact === null ? [] : [contact]), ...(accreditation === null ? [] : [accreditation])].join(
    ", ",
  );

/** Facts that differ, also those that only one of the two has. */
const changedFacts = (before: readonly Fact[], after: readonly Fact[], nothing: string, place = ""): AmendedThing[] => {
  const labels = [...new Set([...after, ...before].map(({ label }) => label))];
  const text = (facts: readonly Fact[], label: string): string =>
    facts.find((fact) => fact.label === label)?.text ?? nothing;
  return labels.flatMap((label) => {
    const [was, is] = [text(before, label), text(after, label)];
    return was === is ? [] : [{ what: `${place}${label}`, before: was, after: is }];
  });
};

const changedParty = (what: string, before: PartyText, after: PartyText): AmendedThing[] => {
  const [was, is] = [partyLines(before), partyLines(after)];
  return was === is ? [] : [{ what, before: was, after: is }];
};

const marked = (before: readonly Fact[], after: readonly Fact[]): readonly Fact[] =>
  after.map((fact) =>
    before.some(({ label, text }) => label === fact.label && text === fact.text) ? fact : { ...fact, changed: true },
  );

const changesOf = (before: CertificateDocument, after: CertificateDocument, writing: Writing): AmendedThing[] => {
  const { paper } = writing.words;
  const { nothing } = paper.amendment;
  const items = after.items.flatMap((item, index) =>
    changedFacts(before.items[index]?.facts ?? [], item.facts, nothing, `${item.heading}: `),
  );
  // The day of issue is another by nature, and says so on its own.
  const own = (facts: readonly Fact[]): readonly Fact[] => facts.filter(({ label }) => label !== paper.facts.issued);
  const people =
    before.people.authorisedBy === after.people.authorisedBy
      ? []
      : [{ what: paper.amendment.person, before: before.people.authorisedBy, after: after.people.authorisedBy }];
  return [
    ...changedParty(after.labels.laboratory, before.laboratory, after.laboratory),
    ...changedParty(after.labels.customer, before.customer, after.customer),
    ...changedFacts(own(before.facts), own(after.facts), nothing),
    ...items,
    ...changedFacts(before.conditions, after.conditions, nothing),
    ...people,
  ];
};

/**
 * Marks in an amended certificate what differs from the one that it replaces, and lists it (ISO/IEC 17025:2017, 7.8.8: any
 * change is identified, and the reason where appropriate; clause from memory).
 * @param before the same certificate as it would be written from what the replaced one stood on
 */
export const withAmendment = (
  after: CertificateDocument,
  before: CertificateDocument,
  issued: IssueData & { readonly amends: NonNullable<IssueData["amends"]> },
  writing: Writing,
): CertificateDocument => {
  const { amends } = issued;
  const { paper } = writing.words;
  const [was, is] = [languagesOf(amends.terms ?? {}), languagesOf(issued)];
  const languages: AmendedThing[] =
    was.join() === is.join()
      ? []
      : [
          {
            what: paper.amendment.languages,
            before: was.map((language) => ownNames[language]).join(", "),
            after: is.map((language) => ownNames[language]).join(", "),
          },
        ];
  const figures = (amends.figures ?? []).map(({ what, before: old, after: now }) => ({
    what,
    before: writing.set.number(old),
    after: writing.set.number(now),
  }));
  const amendment: AmendmentText = {
    number: amends.number,
    date: amends.date,
    reason: amends.reason,
    sha256: amends.sha256 ?? null,
    text: paper.amendment.text(amends.number, paper.day(amends.date), amends.reason),
    columns: paper.amendment.columns,
    changes: [...changesOf(before, after, writing), ...languages, ...figures],
    note: figures.length === 0 ? paper.amendment.noChange : null,
  };
  const mark = (party: PartyText, old: PartyText): PartyText =>
    partyLines(party) === partyLines(old) ? party : { ...party, changed: true };
  return {
    ...after,
    amendment,
    laboratory: mark(after.laboratory, before.laboratory),
    customer: mark(after.customer, before.customer),
    facts: marked(before.facts, after.facts),
    conditions: marked(before.conditions, after.conditions),
    items: after.items.map((item, index) => ({
      ...item,
      facts: marked(before.items[index]?.facts ?? [], item.facts),
    })),
  };
};

import type { Amends, CertificateTerms, Fate, IssueData, Language } from "#certificates";
import type { CertificateSummary } from "#contract";
import type { CertificateEntry } from "#records";

/** What the records keep of the terms of a certificate: enough to write it again, word for word. */
export interface KeptTerms extends CertificateTerms {
  readonly amends?: Amends | undefined;
}

/** Terms as they were kept with a certificate; certificates of before had none. */
export const keptTerms = ({ terms }: CertificateEntry): KeptTerms => (terms ?? {}) as KeptTerms;

export const languagesKept = (entry: CertificateEntry): readonly Language[] => keptTerms(entry).languages ?? ["en"];

/** What became of a certificate, for its pages. */
const fateOf = (entry: CertificateEntry, replacedOn: string | null): Fate | undefined => {
  if (entry.withdrawn !== null)
    return { kind: "withdrawn", date: entry.withdrawn.at.slice(0, 10), reason: entry.withdrawn.reason };
  return entry.replacedBy === null || replacedOn === null
    ? undefined
    : { kind: "replaced", date: replacedOn, number: entry.replacedBy };
};

/** The issue data with which a certificate was made. `replacedOn` is the day of issue of the one in its place. */
export const issueDataOf = (entry: CertificateEntry, replacedOn: string | null = null): IssueData => ({
  ...keptTerms(entry),
  number: entry.number,
  date: entry.issued.slice(0, 10),
  authorisedBy: entry.authorisedBy,
  fate: fateOf(entry, replacedOn),
});

export const summaryOf = (entry: CertificateEntry): CertificateSummary => {
  const { number, run, job, title, customer, items, issued, authorisedBy, rehearsal, decision } = entry;
  return {
    number,
    run,
    job,
    title,
    customer,
    items: items.map(({ item, tag }) => ({ item, tag })),
    tags: items.map(({ tag }) => tag),
    issued,
    authorisedBy,
    rehearsal,
    decision,
    languages: [...languagesKept(entry)],
    amends: entry.amends,
    replacedBy: entry.replacedBy,
    withdrawn: entry.withdrawn,
  };
};

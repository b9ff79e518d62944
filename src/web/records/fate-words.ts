import type { CertificateSummary } from "#contract";

/** What became of a certificate, in a sentence; null where it holds. */
export const fateWords = ({
  replacedBy,
  withdrawn,
}: Pick<CertificateSummary, "replacedBy" | "withdrawn">): string | null => {
  if (withdrawn !== null) return `Withdrawn on ${withdrawn.at.slice(0, 10)} by ${withdrawn.by}: ${withdrawn.reason}`;
  return replacedBy === null ? null : `Replaced by ${replacedBy}`;
};

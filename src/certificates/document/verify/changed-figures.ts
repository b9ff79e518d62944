import type { Amends } from "../issue-data.ts";
import type { CertificateDocument } from "../model.ts";
import { compareResults } from "./compare-results.ts";
import { statedCertificate } from "./stated-certificate.ts";
import { readXml } from "./xml-tree.ts";

/**
 * Figures in which a certificate differs from the XML of the one that it is to replace: none as long as the same log is
 * evaluated in the same way, and every one of them to be named in an amendment where it is not (ISO/IEC 17025:2017, 7.8.8).
 * An XML that is not one of ours has none to compare.
 */
export const changedFigures = (replacedXml: string, document: CertificateDocument): NonNullable<Amends["figures"]> => {
  const tree = readXml(replacedXml);
  const stated = tree.ok ? statedCertificate(tree.value) : tree;
  if (!stated.ok) return [];
  return compareResults(stated.value, document).differences.map(
    ({ where, what, stated: before, recomputed: after }) => ({
      what: `${where}: ${what}`,
      before,
      after,
    }),
  );
};

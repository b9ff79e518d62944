import type { CertificateDocument, Finding } from "../model.ts";
import { compareResults } from "./compare-results.ts";
import { statedCertificate } from "./stated-certificate.ts";
import { readXml } from "./xml-tree.ts";

/** An own check of every XML before it is let out: it must be read again, and state what the document states, digit by digit. */
export const xmlStops = (xml: string, document: CertificateDocument): readonly Finding[] => {
  const clause = "7.11";
  const tree = readXml(xml);
  if (!tree.ok)
    return [{ clause, message: `The XML cannot be read again. ${tree.fault.message} This is a fault of the program.` }];
  const stated = statedCertificate(tree.value);
  if (!stated.ok)
    return [{ clause, message: `The XML is not whole. ${stated.fault.message} This is a fault of the program.` }];
  const { number, logHash } = stated.value;
  const { differences } = compareResults(stated.value, document);
  return [
    ...differences.map(({ where, what, stated: said, recomputed }) => ({
      clause,
      message: `The XML states ${said} for ${what} of ${where}, and the paper ${recomputed}. This is a fault of the program.`,
    })),
    ...(number === document.number.trim() && logHash === document.record.logHash
      ? []
      : [
          {
            clause,
            message: "The XML has another number or another log than the paper. This is a fault of the program.",
          },
        ]),
  ];
};

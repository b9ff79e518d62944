import type { CertificateDocument } from "../model.ts";
import { expectedResults } from "./expected-results.ts";
import type { StatedCertificate, StatedList, StatedResult } from "./stated-certificate.ts";

/** A figure that the certificate states and the log gives otherwise. */
export interface VerifyDifference {
  readonly where: string;
  readonly what: string;
  readonly stated: string;
  readonly recomputed: string;
}

/** Which item and which of its results, in words. */
export const placeOf = ({ items }: StatedCertificate, { item, kind }: StatedResult): string =>
  `${items[item]?.tag || `item ${item + 1}`}, ${kind === "equation" ? "equation" : kind.replace("-", " ")}`;

const pointsOf = (lists: readonly StatedList[]): readonly string[] =>
  lists.find(({ name }) => name === "point" || name === "temperature")?.values ?? [];

/** Figure by figure; a list that only one of the two has differs as a whole. */
const differencesIn = (
  where: string,
  stated: readonly StatedList[],
  recomputed: readonly StatedList[],
): { differences: readonly VerifyDifference[]; compared: number } => {
  const points = pointsOf(recomputed);
  const differences: VerifyDifference[] = [];
  let compared = 0;
  const most = Math.max(stated.length, recomputed.length);
  for (let index = 0; index < most; index += 1) {
    const [said, made] = [stated[index], recomputed[index]];
    const name = made?.name ?? said!.name;
    if (said === undefined || made === undefined || said.name !== made.name) {
      const words = (list: StatedList | undefined): string => (list === undefined ? "nothing" : list.values.join(" "));
      differences.push({ where, what: name, stated: words(said), recomputed: words(made) });
      continue;
    }
    for (let at = 0; at < Math.max(said.values.length, made.values.length); at += 1) {
      compared += 1;
      const [one, other] = [said.values[at] ?? "nothing", made.values[at] ?? "nothing"];
      if (one === other) continue;
      const point = points[at];
      differences.push({
        where: point === undefined ? where : `${where}, ${point} °C`,
        what: name,
        stated: one,
        recomputed: other,
      });
    }
  }
  return { differences, compared };
};

/** Every figure, limit and decision that an XML states beside those of a document, in the order in which they stand. */
export const compareResults = (certificate: StatedCertificate, document: CertificateDocument) => {
  const expected = expectedResults(document);
  const differences: VerifyDifference[] = [];
  let compared = 0;
  for (let index = 0; index < Math.max(expected.length, certificate.results.length); index += 1) {
    const [said, made] = [certificate.results[index], expected[index]];
    const where = placeOf(certificate, said ?? made!);
    if (said === undefined || made === undefined || said.kind !== made.kind || said.item !== made.item) {
      differences.push({
        where,
        what: "result",
        stated: said === undefined ? "nothing" : placeOf(certificate, said),
        recomputed: made === undefined ? "nothing" : placeOf(certificate, made),
      });
      continue;
    }
    const each = differencesIn(where, said.lists, made.lists);
    differences.push(...each.differences);
    compared += each.compared;
  }
  return { differences, compared };
};

import type { RunEvent } from "#calibration";
import { correctedJob } from "./corrected-job.ts";
import type { CertificateTerms, Correction } from "./issue-data.ts";
import { openedRun } from "./opened-run.ts";

/** A text of a certificate that an amendment may put right, as it stands now. */
export interface CorrectableText extends Correction {
  /** The item's tag, for people. */
  readonly tag?: string;
}

/** Every text that an amendment may put right, with what stands there now; one that may be left out and is, is empty. */
export const correctableTexts = (log: readonly RunEvent[], terms: CertificateTerms): readonly CorrectableText[] => {
  const { laboratory, customer, place, title, conditions, items } = correctedJob(openedRun(log).job, terms);
  const party = (whose: "laboratory" | "customer", { name, address, contact }: typeof customer): CorrectableText[] => [
    { field: `${whose}.name`, value: name },
    { field: `${whose}.address`, value: address.join("\n") },
    { field: `${whose}.contact`, value: contact ?? "" },
  ];
  return [
    ...party("customer", customer),
    ...items.flatMap(({ id, tag, ...item }): CorrectableText[] => {
      const own = { item: id, tag };
      return [
        { ...own, field: "item.tag", value: tag },
        { ...own, field: "item.serial", value: item.serial },
        { ...own, field: "item.description", value: item.description },
        { ...own, field: "item.model", value: item.model ?? "" },
        { ...own, field: "item.place", value: item.place ?? "" },
        { ...own, field: "item.condition", value: item.condition ?? "" },
        { ...own, field: "item.received", value: item.received ?? "" },
      ];
    }),
    { field: "place", value: place },
    { field: "title", value: title },
    { field: "remarks", value: conditions.remarks ?? "" },
    ...party("laboratory", laboratory),
  ];
};

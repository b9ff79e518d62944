import { Fault } from "#fault";
import type { CertificateDocument, DecisionText, Fact } from "./model.ts";
import { writingIn } from "./writing.ts";

/** What the label of an item says, in the certificate's language. */
export interface ItemLabel {
  readonly heading: string;
  readonly lines: readonly Fact[];
  readonly code: string;
  readonly note: string | undefined;
  readonly language: CertificateDocument["language"];
  readonly day: string;
}

const cut = (text: string, most: number): string => (text.length <= most ? text : `${text.slice(0, most - 1)}…`);

/** The state in which the item was handed back: the last pass that was made. */
const lastDecision = (passes: readonly { readonly decision: DecisionText }[]): DecisionText | undefined =>
  passes.at(-1)?.decision;

/**
 * The label of an item: its identity, the day, the certificate and the last statement; the next calibration only where it was
 * agreed (ISO/IEC 17025:2017, 7.8.4.3, from memory). The code holds the same, with the first half of the log's SHA-256, so that a
 * label can be told from one that somebody wrote.
 * @throws Fault `records.not-found` where the certificate has no such item
 */
export const itemLabel = (document: CertificateDocument, item: string): ItemLabel => {
  const section = document.items.find((each) => each.item === item);
  if (section === undefined)
    throw new Fault("records.not-found", `Certificate ${document.number} has no item ${item}.`, { data: { item } });
  const { paper } = writingIn(document.language).words;
  const { label: said, day } = paper;
  const decision = lastDecision(section.passes);
  const { ended, due } = document.dates;
  const code = [
    `certificate=${cut(document.number, 64)}`,
    `tag=${cut(section.tag, 48)}`,
    `serial=${cut(section.serial, 32)}`,
    `calibrated=${ended}`,
    `result=${decision?.kind ?? "none"}`,
    ...(due === null ? [] : [`due=${due}`]),
    `log=${document.record.logHash.slice(0, 32)}`,
  ];
  return {
    heading: cut(section.tag, 34),
    lines: [
      { label: said.serial, text: cut(section.serial, 30) },
      { label: said.calibrated, text: day(ended) },
      { label: said.certificate, text: cut(document.number, 32) },
      ...(decision === undefined || decision.kind === "none" ? [] : [{ label: said.result, text: decision.word }]),
      ...(document.rehearsal ? [{ label: "", text: cut(paper.bands.rehearsal, 64) }] : []),
    ],
    code: code.join("\n"),
    note: due === null ? undefined : `${said.due} ${day(due)}`,
    language: document.language,
    day: document.dates.issued,
  };
};

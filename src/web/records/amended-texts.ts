import type { CertificateDetail, CorrectedText } from "#contract";

export type Text = CertificateDetail["texts"][number];

const labels: Readonly<Record<Text["field"], string>> = {
  "laboratory.name": "Laboratory",
  "laboratory.address": "Address of the laboratory",
  "laboratory.contact": "Contact of the laboratory",
  "customer.name": "Customer",
  "customer.address": "Address of the customer",
  "customer.contact": "Contact of the customer",
  place: "Place of calibration",
  title: "Title of the job",
  remarks: "Remarks",
  "item.tag": "tag",
  "item.serial": "serial number",
  "item.description": "description",
  "item.model": "model",
  "item.place": "place in the plant",
  "item.condition": "condition as received",
  "item.received": "day of receipt, year-month-day",
};

/** What a text is called in the form. */
export const labelOf = ({ field, tag }: Text): string =>
  tag === undefined ? labels[field] : `${tag}: ${labels[field]}`;

/** A name for a text that no other has. */
export const keyOf = ({ field, item }: Text): string => `${item ?? ""} ${field}`;

/** Texts that stand for more than one line on the paper. */
export const hasLines = ({ field }: Text): boolean => field.endsWith("address") || field === "remarks";

/** The corrections that a form asks for: what was typed and differs from what stands there. */
export const correctionsOf = (texts: readonly Text[], typed: Readonly<Record<string, string>>): CorrectedText[] =>
  texts.flatMap((text) => {
    const value = typed[keyOf(text)];
    if (value === undefined || value.trim() === text.value.trim()) return [];
    return [{ field: text.field, ...(text.item === undefined ? {} : { item: text.item }), value: value.trim() }];
  });

import type { Item, Job } from "#calibration";
import type { CertificateTerms, Correction } from "./issue-data.ts";

const lines = (value: string): string[] =>
  value
    .split("\n")
    .map((line) => line.trim())
    .filter((line) => line !== "");

/** A field that may be left out: an empty correction takes it away. */
const optional = <K extends string>(name: K, value: string): Partial<Record<K, string | undefined>> =>
  ({ [name]: value.trim() === "" ? undefined : value.trim() }) as Partial<Record<K, string | undefined>>;

const correctedItem = (item: Item, { field, value }: Correction): Item => {
  const text = value.trim();
  switch (field) {
    case "item.tag":
      return { ...item, tag: text };
    case "item.serial":
      return { ...item, serial: text };
    case "item.description":
      return { ...item, description: text };
    case "item.model":
      return { ...item, ...optional("model", value) };
    case "item.place":
      return { ...item, ...optional("place", value) };
    case "item.condition":
      return { ...item, ...optional("condition", value) };
    case "item.received":
      return { ...item, ...optional("received", value) };
    default:
      return item;
  }
};

const correctedParty = <P extends { readonly name: string; readonly address: string[] }>(
  party: P,
  name: string,
  value: string,
): P => {
  switch (name) {
    case "name":
      return { ...party, name: value.trim() };
    case "address":
      return { ...party, address: lines(value) };
    default:
      return { ...party, ...optional("contact", value) };
  }
};

const corrected = (job: Job, correction: Correction): Job => {
  const { field, item, value } = correction;
  const [whose, name = ""] = field.split(".") as [string, string?];
  switch (whose) {
    case "laboratory":
      return { ...job, laboratory: correctedParty(job.laboratory, name, value) };
    case "customer":
      return { ...job, customer: correctedParty(job.customer, name, value) };
    case "item":
      return { ...job, items: job.items.map((each) => (each.id === item ? correctedItem(each, correction) : each)) };
    case "place":
      return { ...job, place: value.trim() };
    case "title":
      return { ...job, title: value.trim() };
    default:
      return { ...job, conditions: { ...job.conditions, ...optional("remarks", value) } };
  }
};

/**
 * The job as its certificate tells it: with the texts that were put right since it was frozen into its log. No figure of a
 * result, nothing of the kit and nothing of the method can be changed so.
 */
export const correctedJob = (job: Job, { corrections = [], withoutRemarks }: CertificateTerms): Job => {
  const right = corrections.reduce(corrected, job);
  return withoutRemarks === true ? { ...right, conditions: { ...right.conditions, remarks: undefined } } : right;
};

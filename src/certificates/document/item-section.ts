import type { Item, ItemResult, Job, RunEvent } from "#calibration";
import { factsOf } from "./facts.ts";
import { fitSection } from "./fit-section.ts";
import { junctionText, notCalibratedText, sensorText, toleranceText } from "./item-text.ts";
import type { ItemSection } from "./model.ts";
import { eventsOf } from "./opened-run.ts";
import { evidenceOf, passSection, type PassContext } from "./pass-section.ts";
import { pictureOf } from "./picture.ts";
import { switchEvidence, switchPassSection } from "./switch-section.ts";
import { decimal, significant } from "./typeset.ts";
import type { Writing } from "./writing.ts";

const signed = (value: number): string => (value > 0 ? `+${significant(value, 3)}` : significant(value, 3));

const adjustmentText = (log: readonly RunEvent[], result: ItemResult, job: Job, writing: Writing): string | null => {
  const { words, set } = writing;
  const said = words.item.adjustment;
  const events = eventsOf(log, "item-adjusted").filter((event) => event.item === result.item);
  const [first] = events;
  const loaded = eventsOf(log, "coefficients-loaded").findLast((event) => event.item === result.item);
  if (loaded !== undefined) return said.coefficients(sensorText({ sensor: loaded.sensor }, writing), loaded.by);
  if (first === undefined && result.adjustment === null)
    return job.procedure.passes.includes("as-left") ? said.none : null;
  const zero = result.adjustment?.zero ?? first?.zero ?? 0;
  const span = result.adjustment?.span ?? first?.span ?? 0;
  const by = [...new Set(events.map((event) => event.by))].join(", ");
  const allowed = job.procedure.adjustment?.authorisedBy;
  const whom = by === "" ? "" : allowed === undefined ? said.by(by) : said.byAllowed(by, allowed);
  return `${said.zeroAndSpan(set.unit(signed(zero), "K"), set.unit(signed(span), "K"))}${whom}`;
};

const factsOfItem = (item: Item, writing: Writing): ItemSection["facts"] => {
  const { words, set } = writing;
  const { facts, span } = words.item;
  return factsOf([
    [facts.tag, item.tag],
    [facts.serial, item.serial],
    [facts.description, item.description],
    [facts.model, item.model],
    [facts.place, item.place],
    [facts.condition, item.condition],
    [words.paper.facts.received, item.received === undefined ? null : words.paper.day(item.received)],
    [facts.sensor, sensorText(item, writing)],
    [facts.junction, junctionText(item, writing)],
    [facts.specification, toleranceText(item, writing)],
    [
      facts.range,
      item.range === undefined
        ? null
        : span(set.unit(decimal(item.range.lower), "°C"), set.unit(decimal(item.range.upper), "°C")),
    ],
    [facts.immersion, item.immersion === undefined ? null : set.unit(decimal(item.immersion), "mm")],
    [facts.notCalibrated, notCalibratedText(item, writing)],
  ]);
};

/** An item's part of the certificate. */
export const itemSection = (item: Item, result: ItemResult, context: Omit<PassContext, "item">): ItemSection => {
  const { log, job, writing } = context;
  const ofSwitch = result.passes.some((pass) => pass.switch !== undefined);
  const passes = result.passes.map((pass) =>
    pass.switch === undefined
      ? passSection(pass, { ...context, item })
      : switchPassSection(pass, pass.switch, { ...context, item }),
  );
  return {
    item: item.id,
    tag: item.tag,
    serial: item.serial,
    description: item.description,
    model: item.model ?? null,
    heading: writing.words.item.heading(item.tag),
    facts: factsOfItem(item, writing),
    picture: pictureOf(item, result, job.procedure.decision, writing),
    passes,
    evidence: ofSwitch ? switchEvidence(result.passes, writing) : evidenceOf(passes, writing),
    fit: fitSection(item, result, writing),
    adjustment: adjustmentText(log, result, job, writing),
    notCalibrated: notCalibratedText(item, writing),
  };
};

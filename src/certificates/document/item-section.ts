import type { Item, ItemResult, Job, RunEvent } from "#calibration";
import { junctionText, notCalibratedText, sensorText, toleranceText } from "./english.ts";
import { factsOf } from "./facts.ts";
import type { ItemSection } from "./model.ts";
import { fitSection } from "./fit-section.ts";
import { eventsOf } from "./opened-run.ts";
import { evidenceOf, passSection } from "./pass-section.ts";
import { pictureOf } from "./picture.ts";
import { switchEvidence, switchPassSection } from "./switch-section.ts";
import { decimal, setMinus, significant, withUnit } from "./typeset.ts";

const signed = (value: number): string => (value > 0 ? `+${significant(value, 3)}` : setMinus(significant(value, 3)));

const adjustmentText = (log: readonly RunEvent[], item: Item, result: ItemResult, job: Job): string | null => {
  const events = eventsOf(log, "item-adjusted").filter((event) => event.item === result.item);
  const [first] = events;
  const loaded = eventsOf(log, "coefficients-loaded").findLast((event) => event.item === result.item);
  if (loaded !== undefined) {
    const fitted = { ...item, sensor: loaded.sensor };
    return `New coefficients were worked out from the results as found and hold for the results as left: ${sensorText(fitted)}. Confirmed by ${loaded.by}.`;
  }
  if (first === undefined && result.adjustment === null) {
    return job.procedure.passes.includes("as-left")
      ? "The item was not adjusted between the results as found and as left."
      : null;
  }
  const zero = result.adjustment?.zero ?? first?.zero ?? 0;
  const span = result.adjustment?.span ?? first?.span ?? 0;
  const by = [...new Set(events.map((event) => event.by))].join(", ");
  const allowed = job.procedure.adjustment?.authorisedBy;
  return [
    `The item was adjusted between the results as found and as left: its indication was changed by ${withUnit(signed(zero), "K")} at the lower end of its range, and by ${withUnit(signed(span), "K")} more over its range.`,
    by === "" ? "" : ` Adjusted by ${by}${allowed === undefined ? "" : `, with the permission of ${allowed}`}.`,
  ].join("");
};

/** An item's part of the certificate. */
export const itemSection = (log: readonly RunEvent[], job: Job, item: Item, result: ItemResult): ItemSection => {
  const ofSwitch = result.passes.some((pass) => pass.switch !== undefined);
  const passes = result.passes.map((pass) =>
    pass.switch === undefined
      ? passSection(log, item, pass, job.procedure.decision)
      : switchPassSection(pass, pass.switch, job.procedure.decision),
  );
  return {
    item: item.id,
    tag: item.tag,
    serial: item.serial,
    description: item.description,
    model: item.model ?? null,
    heading: `Item ${item.tag}`,
    facts: factsOf([
      ["Tag", item.tag],
      ["Serial number", item.serial],
      ["Description", item.description],
      ["Model", item.model],
      ["Place in the plant", item.place],
      ["Condition as received", item.condition],
      ["Sensor", sensorText(item)],
      ["Reference junction", junctionText(item)],
      ["Specification", toleranceText(item)],
      [
        "Range of use",
        item.range === undefined
          ? null
          : `${withUnit(decimal(item.range.lower), "°C")} to ${withUnit(decimal(item.range.upper), "°C")}`,
      ],
      ["Item immersed", item.immersion === undefined ? null : withUnit(decimal(item.immersion), "mm")],
      ["Not calibrated", notCalibratedText(item)],
    ]),
    picture: pictureOf(item, result, job.procedure.decision),
    passes,
    evidence: ofSwitch ? switchEvidence(result.passes) : evidenceOf(passes),
    fit: fitSection(item, result),
    adjustment: adjustmentText(log, item, result, job),
    notCalibrated: notCalibratedText(item),
  };
};

import type { Job } from "#calibration";
import type { EngineState } from "./state.ts";

/** What may be touched, °C. */
export const coolEnough = 50;

const always = "Site rules and local codes come first; this program advises and never replaces them.";

/** Cautions for the plan of a job, before anything is heated. */
export const planCautions = (job: Job): readonly string[] => {
  const hottest = Math.max(...job.procedure.points.map(({ temperature }) => temperature));
  const cautions: string[] = [];
  if (hottest > coolEnough) {
    cautions.push(
      `Wells and probes get as hot as ${hottest} °C and burn. Let them cool below ${coolEnough} °C before touching or moving them; never move a hot source.`,
    );
  }
  if (job.kit.source.class !== "bath") cautions.push("Never put water or oil into a dry well.");
  if (job.items.some((item) => item.sensor.kind === "loop")) {
    cautions.push("Breaking a loop can trip a plant: get the permit and the bypass from those who own it.");
  }
  if (job.items.some((item) => item.sensor.kind === "switch")) {
    cautions.push(
      "A switch may be part of a safety function: its trip has a permit of its own, and its wires are taken off only with the bypass of those who own it. A contact that carries voltage is disconnected by licensed people before it is read.",
    );
  }
  cautions.push(
    "Hazardous areas need permitted equipment; mains and thermowell work belongs to licensed people.",
    always,
  );
  return cautions;
};

/** Cautions that hold now, at this step of a run. */
export const presentCautions = (state: EngineState): readonly string[] => {
  const temperatures = Object.values(state.latest).flatMap(({ temperature }) =>
    temperature === null ? [] : [temperature],
  );
  const hottest = Math.max(
    -Infinity,
    ...temperatures,
    state.output ? (state.setPoint?.temperature ?? -Infinity) : -Infinity,
  );
  if (state.coolBelow !== null) return [];
  if (state.sourceInDoubt)
    return ["The source may still heat: it did not answer to being switched off. Do not leave it alone."];
  const unattended =
    state.onBreak?.hold === true && hottest > coolEnough
      ? ["The source stays hot with nobody there. Only where site rules allow it: mark it, and keep others away."]
      : [];
  if (hottest > coolEnough) {
    return [
      ...unattended,
      state.ended === null
        ? `Hot: up to ${hottest.toFixed(0)} °C. Do not touch or move source and probes.`
        : `Still hot: ${hottest.toFixed(0)} °C at the last reading. Leave source and probes in place until they are below ${coolEnough} °C.`,
    ];
  }
  return [];
};

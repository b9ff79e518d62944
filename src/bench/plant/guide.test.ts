import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { parse } from "yaml";
import { simulatedFaultSchema, simulationSchema } from "./simulation.ts";

const guide = readFileSync(join(import.meta.dirname, "../../../docs/guides/simulated-bench.md"), "utf8");
const blocks = [...guide.matchAll(/```yaml\n([\s\S]*?)```/g)].map(
  ([, text]) => parse(text!) as Record<string, unknown>,
);

it("every simulation and every fault that the guide shows is one", () => {
  const simulations = blocks.flatMap((block) => ("simulation" in block ? [block["simulation"]] : []));
  const faults = blocks.flatMap((block) => ("faults" in block ? [{ faults: block["faults"] }] : []));
  expect(simulations.length).toBeGreaterThanOrEqual(2);
  expect(faults.length).toBeGreaterThanOrEqual(1);
  for (const shown of [...simulations, ...faults]) expect(simulationSchema.safeParse(shown).error).toBeUndefined();
});

it("the guide's table of faults is whole", () => {
  const section = guide.slice(guide.indexOf("## Faults on request"), guide.indexOf("## A bench file"));
  const kinds = simulatedFaultSchema.options.map((option) => option.shape.kind.value);
  expect(kinds.filter((kind) => !section.includes(`\`${kind}\``))).toEqual([]);
});

import { globSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { faultCodes } from "#fault";
import { projectRoot } from "./planted-tree.ts";

const sources = globSync("src/**/*.{ts,tsx}", { cwd: projectRoot })
  .filter((file) => !/\.test\.|fault\/codes\.ts$/.test(file))
  .map((file) => readFileSync(join(projectRoot, file), "utf8"))
  .join("\n");

it.each(Object.keys(faultCodes))("the fault code %s is raised somewhere", (code) => {
  expect(sources).toContain(`"${code}"`);
});

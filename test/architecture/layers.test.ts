import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { rooms } from "../../scripts/rooms.ts";
import { PlantedTree, projectRoot } from "./planted-tree.ts";

const cruise = (files: Readonly<Record<string, string>>) => {
  using tree = new PlantedTree(files);
  return tree.run("depcruise", "--config", ".dependency-cruiser.mjs", "src");
};

describe("layer rules fail on a planted fault", () => {
  const fault = { "src/fault/index.ts": "export const fault = 1;\n" };

  it("lets an allowed arrow pass", () => {
    const answer = cruise({
      ...fault,
      "src/quantity/index.ts": 'import { fault } from "#fault";\nexport const x = fault;\n',
    });
    expect(answer).toMatchObject({ ok: true });
  });

  it("refuses an arrow the map does not have", () => {
    const answer = cruise({
      ...fault,
      "src/numerics/index.ts": 'import { fault } from "#fault";\nexport const x = fault;\n',
    });
    expect(answer.ok).toBe(false);
    expect(answer.words).toContain("numerics-imports");
  });

  it("refuses a way round the front door", () => {
    const answer = cruise({
      ...fault,
      "src/fault/deep.ts": "export const deep = 1;\n",
      "src/quantity/index.ts": 'import { deep } from "../fault/deep.ts";\nexport const x = deep;\n',
    });
    expect(answer.ok).toBe(false);
    expect(answer.words).toContain("quantity-imports");
  });

  it("refuses a package that the room may not use", () => {
    const answer = cruise({ "src/engine/index.ts": 'import { z } from "zod";\nexport const x = z;\n' });
    expect(answer.ok).toBe(false);
    expect(answer.words).toContain("engine-packages");
  });

  it("refuses the platform in a pure room", () => {
    const answer = cruise({
      "src/engine/index.ts": 'import { readFileSync } from "node:fs";\nexport const x = readFileSync;\n',
    });
    expect(answer.ok).toBe(false);
    expect(answer.words).toContain("pure-rooms-touch-no-platform");
  });

  it("refuses product code that starts the simulated bench", () => {
    const answer = cruise({
      "src/bench/index.ts": "export const bench = 1;\n",
      "src/station/index.ts": 'import { bench } from "#bench";\nexport const x = bench;\n',
    });
    expect(answer.ok).toBe(false);
    expect(answer.words).toContain("bench-stays-outside");
  });

  it("refuses a cycle", () => {
    const answer = cruise({
      "src/fault/index.ts": 'export { a } from "./a.ts";\n',
      "src/fault/a.ts": 'import { b } from "./b.ts";\nexport const a = (): number => b();\n',
      "src/fault/b.ts": 'import { a } from "./a.ts";\nexport const b = (): number => a();\n',
    });
    expect(answer.ok).toBe(false);
    expect(answer.words).toContain("no-cycles");
  });

  it("does not compile a pure room that reaches for the platform or for another room's inside", () => {
    using tree = new PlantedTree({
      ...fault,
      "src/numerics/a.ts": "export const now = (): number => process.uptime();\n",
      "src/numerics/b.ts": "export const later = (): void => setTimeout(() => {}, 1);\n",
      "src/quantity/c.ts": 'import { fault } from "#fault/deep";\nexport const c = fault;\n',
    });
    const answer = tree.run("tsc", "-p", "tsconfig.pure.json");
    expect(answer.ok).toBe(false);
    for (const file of ["a.ts", "b.ts", "c.ts"]) expect(answer.words).toContain(file);
  });

  it("lint refuses the clock, chance and locale in a pure room, and `any` everywhere", () => {
    using tree = new PlantedTree({
      "src/engine/clock.ts": "export const now = (): number => Date.now();\n",
      "src/engine/chance.ts": "export const draw = (): number => Math.random();\n",
      "src/engine/locale.ts": "export const show = (value: number): string => value.toLocaleString();\n",
      "src/station/loose.ts": "export const loose = (value: any): unknown => value;\n",
      "src/station/dropped.ts":
        "export const quiet = (work: () => void): void => {\n  try {\n    work();\n  } catch {}\n};\n",
    });
    const answer = tree.run("oxlint", "--deny-warnings", "src");
    expect(answer.ok).toBe(false);
    for (const file of ["clock.ts", "chance.ts", "locale.ts", "loose.ts", "dropped.ts"])
      expect(answer.words).toContain(file);
  });
});

describe("the map", () => {
  const page = readFileSync(join(projectRoot, "ARCHITECTURE.md"), "utf8");

  it.each(rooms.map((room) => [room.name, room] as const))(
    "ARCHITECTURE.md tells what %s is, and what it may import",
    (_, room) => {
      const imports = room.mayImport.length === 0 ? "nothing" : room.mayImport.map((name) => `\`${name}\``).join(" ");
      expect(page).toContain(`| \`${room.name}\` | ${room.purpose} | ${room.never} | ${imports} | ${room.compiled} |`);
    },
  );

  it("has a front door in package.json for every room that others may enter", () => {
    const doors = JSON.parse(readFileSync(join(projectRoot, "package.json"), "utf8")).imports;
    const entered = new Set(rooms.flatMap((room) => room.mayImport));
    expect(Object.keys(doors).sort()).toEqual([...entered].map((name) => `#${name}`).sort());
  });
});

import { existsSync, globSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { projectRoot } from "./planted-tree.ts";

/** Rooms that keep a rule book, with the letter of their rules. */
const books = {
  uncertainty: "U",
  settling: "S",
  calibration: "C",
  engine: "E",
  records: "R",
  planning: "P",
  upkeep: "K",
  traceback: "T",
  intervals: "I",
  diagnosis: "D",
} as const;

const testTexts = globSync(["src/**/*.test.ts", "test/**/*.test.ts"], {
  cwd: projectRoot,
  exclude: (name) => name.includes("architecture"),
})
  .map((file) => readFileSync(join(projectRoot, file), "utf8"))
  .join("\n");

const tagsOf = (letter: string): Set<string> =>
  new Set(
    [...testTexts.matchAll(new RegExp(`\\[((?:${letter}\\d+)(?:[ ,]+[A-Z]\\d+)*)\\]`, "g"))].flatMap((match) =>
      match[1]!.split(/[ ,]+/),
    ),
  );

describe.each(Object.entries(books))("rule book of %s", (room, letter) => {
  const file = join(projectRoot, "src", room, "RULES.md");
  const rules = existsSync(file)
    ? [...readFileSync(file, "utf8").matchAll(new RegExp(`\\*\\*(${letter}\\d+)\\.\\*\\*`, "g"))].map(
        (match) => match[1]!,
      )
    : [];

  it("exists, and numbers its rules once each", () => {
    expect(rules.length).toBeGreaterThan(0);
    expect(new Set(rules).size).toBe(rules.length);
  });

  it("has a test for every rule, and a rule for every tag", () => {
    const tags = [...tagsOf(letter)].filter((tag) => tag.startsWith(letter));
    expect({
      untested: rules.filter((rule) => !tags.includes(rule)),
      unruled: tags.filter((tag) => !rules.includes(tag)),
    }).toEqual({
      untested: [],
      unruled: [],
    });
  });
});

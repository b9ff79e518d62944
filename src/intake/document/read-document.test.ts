import { describe, expect, it } from "vitest";
import type { FaultValue } from "#fault";
import type { FieldError } from "./field-error.ts";
import { mostCharacters, readDocument } from "./read-document.ts";
import type { TextDocument } from "./text-document.ts";

const read = (text: string, name = "a.yaml"): TextDocument => {
  const outcome = readDocument(text, name);
  if (!outcome.ok) throw new Error(outcome.fault.message);
  return outcome.value;
};

const refusal = (text: string, name = "a.yaml"): FaultValue => {
  const outcome = readDocument(text, name);
  if (outcome.ok) throw new Error("was read");
  return outcome.fault;
};

describe("a document that can be read", () => {
  it("knows where each of its parts stands, lines and columns from 1", () => {
    const document = read("one: 1\nlist:\n  - name: x\n    size: 3\n  - name: y\n");
    expect(document.value).toEqual({ one: 1, list: [{ name: "x", size: 3 }, { name: "y" }] });
    expect(document.place(["one"])).toEqual({ line: 1, column: 6 });
    expect(document.place(["list", 0, "size"])).toEqual({ line: 4, column: 11 });
    expect(document.place(["list", 1])).toEqual({ line: 5, column: 5 });
    expect(document.keyPlace(["list"])).toEqual({ line: 2, column: 1 });
  });

  it("places what is missing at its parent: the key's line, or the entry's first line", () => {
    const document = read("one: 1\nblock:\n  a: 1\nlist:\n  - name: x\n");
    expect(document.place(["block", "b"])).toEqual({ line: 2, column: 1 });
    expect(document.place(["list", 0, "size"])).toEqual({ line: 5, column: 5 });
    expect(document.place(["nowhere", "at", "all"])).toEqual({ line: 1, column: 1 });
  });

  it("finds places behind an alias", () => {
    const document = read("a: &a {x: 1}\nb: *a\n");
    expect(document.value).toEqual({ a: { x: 1 }, b: { x: 1 } });
    expect(document.place(["b", "x"])).toEqual({ line: 1, column: 11 });
  });

  it("keeps what was typed where YAML makes something else of it", () => {
    const document = read('a: 012\nb: 1e3\nc: "012"\n');
    expect([document.sourceAt(["a"]), document.sourceAt(["b"]), document.sourceAt(["c"])]).toEqual([
      "012",
      "1e3",
      undefined,
    ]);
  });

  it("is JSON with tabs and one line, too", () => {
    expect(read('{\n\t"a": [\n\t\t1\n\t]\n}', "a.json").place(["a", 0])).toEqual({ line: 3, column: 3 });
    expect(read('{"a":{"b":true}}', "a.json").place(["a", "b"])).toEqual({ line: 1, column: 11 });
  });

  it("reads the ohm sign as the Greek letter, and skips a byte order mark", () => {
    expect(read("\uFEFFunit: \u2126\n").value).toEqual({ unit: "Ω" });
  });

  it("takes words such as yes and a date as the text that they are", () => {
    expect(read("a: yes\nb: 2026-03-31\n").value).toEqual({ a: "yes", b: "2026-03-31" });
  });

  it("holds a key called __proto__ as a key", () => {
    const { value } = read("__proto__: {polluted: true}\n");
    expect(Object.keys(value as object)).toEqual(["__proto__"]);
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });
});

describe("a document that is refused", () => {
  it.each([
    ["a tab", "a:\n\tb: 1\n", "a.yaml:2: (text): a tab is used to indent. Indent with spaces: two for each level."],
    [
      "a key twice",
      "a: 1\nb: 2\na: 3\n",
      "a.yaml:3: (text): this key stands twice in the same block. Keep one of the two.",
    ],
    [
      "two documents",
      "a: 1\n---\nb: 2\n",
      "a.yaml:2: (text): a second document begins here (---). Keep one document in a file.",
    ],
    [
      "a second colon",
      "a: b: c\n",
      "a.yaml:1: (text): a second ': ' stands on this line. Put text that contains ': ' in quotes.",
    ],
    [
      "an open bracket",
      "a: [1, 2\nb: 3\n",
      "a.yaml:2: (text): the indentation does not fit the lines above. Keys of one block begin in the same column; close every bracket.",
    ],
    [
      "an open quote",
      'a: 1\nb: "x\n',
      "a.yaml:3: (text): something is not closed: a quote, a bracket, or the ':' or space after a key is missing.",
    ],
    [
      "a reserved character",
      "a: @x\n",
      "a.yaml:1: (text): a value may not begin with this character. Put the value in quotes.",
    ],
    [
      "a tag",
      "a: !file x\n",
      "a.yaml:1: (text): tags (!) have no meaning here. Put text that begins with ! in quotes.",
    ],
    [
      "an alias of nothing",
      "a: 1\nb: *c\n",
      "a.yaml:2: (text): *c refers to nothing above it. Put text that begins with * in quotes.",
    ],
    ["nothing", " \n", "a.yaml:1: (text): the file is empty."],
    [
      "comments alone",
      "# nothing\n",
      "a.yaml:1: (text): expected fields with values (key: value), found something else.",
    ],
    ["a sentence", "just words\n", "a.yaml:1: (text): expected fields with values (key: value), found something else."],
    ["bytes", "a: \u0000\n", "a.yaml:1: (text): this is not a text file. Save it as plain text, UTF-8."],
    [
      "another encoding",
      "a: 1\nb: 20 \uFFFDC\n",
      "a.yaml:2: (text): a character here cannot be read. Save the file as UTF-8.",
    ],
    [
      "depth",
      `a: ${"[".repeat(100)}${"]".repeat(100)}\n`,
      "a.yaml:1: (text): the document is nested too deeply (more than 64 levels).",
    ],
    ["great depth", `a: ${"[".repeat(30_000)}${"]".repeat(30_000)}\n`, "nested too deeply (more than 64 levels)."],
  ])("for %s", (_, text, message) => {
    const fault = refusal(text);
    expect(fault.code).toBe("input.malformed");
    expect(fault.message).toContain(message);
    expect((fault.data!.fields as FieldError[])[0]).toMatchObject({ path: "(text)" });
  });

  it("for aliases that stand for a thousand million values, without writing them out", () => {
    const levels = "bcdefghij".split("");
    const bomb = `a: &a [${"x, ".repeat(9)}x]\n${levels.map((key, index) => `${key}: &${key} [${Array(10).fill(`*${"abcdefghij"[index]}`).join(", ")}]`).join("\n")}\n`;
    expect(refusal(bomb).message).toBe(
      "a.yaml:1: (text): aliases (*) stand for too much; they may stand for 100 values in all. Write the values out.",
    );
  });

  it("for its size", () => {
    expect(refusal("#".repeat(mostCharacters + 1)).message).toBe(
      "a.yaml has 1048577 characters; at most 1048576 are read. Is it the right file?",
    );
    expect(read(`a: 1\n#${"x".repeat(mostCharacters - 6)}`).value).toEqual({ a: 1 });
  });

  it.each([
    ["a trailing comma", '{"a": 1,\n}', 2],
    ["single quotes", "{'a': 1}", 1],
    ["an end that is missing", '{"a":\n{"b": 1}\n', 3],
  ])("as JSON for %s, which YAML would forgive", (_, text, line) => {
    expect(refusal(text, "a.json").message).toMatch(
      new RegExp(`^a\\.json:${line}: \\(text\\): this is not valid JSON: `),
    );
  });

  it("as JSON for a key twice, of which JSON itself would drop the first", () => {
    expect(refusal('{"a": 1,\n"a": 2}', "a.json").message).toBe(
      "a.json:2: (text): this key stands twice in the same block. Keep one of the two.",
    );
  });

  it("under the code that the caller gives", () => {
    const outcome = readDocument("", "x", "job.invalid");
    expect(outcome.ok || outcome.fault.code).toBe("job.invalid");
  });
});

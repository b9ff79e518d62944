import { beforeAll, describe, expect, it } from "vitest";
import { seededGenerator, type Generator } from "#numerics";
import { fillWithEverything } from "../filled-records.test-support.ts";
import { exportFolder, openRecords } from "../index.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";
import { checkRecords } from "../verify/check-records.ts";
import { checkExport } from "./check-export.ts";
import { exportNames, ExportSource } from "./export-source.ts";
import { MemoryFiles } from "./memory-files.test-support.ts";

const seed = 20_261_125;
const mutations = 10_000;

const whole = (random: Generator, below: number): number => Math.floor(random.next() * below);

type Mutation = (bytes: Buffer, random: Generator) => Buffer;

const lineFeed = 0x0a;

/** Where each line begins, and where the file ends. */
const lineStarts = (bytes: Buffer): number[] => {
  const starts = [0];
  for (let at = bytes.indexOf(lineFeed); at >= 0; at = bytes.indexOf(lineFeed, at + 1)) starts.push(at + 1);
  return starts;
};

const pickLine = (bytes: Buffer, random: Generator): readonly [number, number] => {
  const starts = lineStarts(bytes);
  const index = whole(random, Math.max(1, starts.length - 1));
  return [starts[index]!, starts[index + 1] ?? bytes.length];
};

const mutationsOf: Readonly<Record<string, Mutation>> = {
  "a bit": (bytes, random) => {
    const changed = Buffer.from(bytes);
    const at = whole(random, changed.length);
    changed[at] = changed[at]! ^ (1 << whole(random, 8));
    return changed;
  },
  "a byte": (bytes, random) => {
    const changed = Buffer.from(bytes);
    const at = whole(random, changed.length);
    changed[at] = (changed[at]! + 1 + whole(random, 255)) % 256;
    return changed;
  },
  "a digit": (bytes, random) => {
    const changed = Buffer.from(bytes);
    const digits = [...changed.keys()].filter((at) => changed[at]! >= 0x30 && changed[at]! <= 0x39);
    const at = digits[whole(random, digits.length)] ?? 0;
    changed[at] = 0x30 + ((changed[at]! - 0x30 + 1 + whole(random, 9)) % 10);
    return changed;
  },
  "bytes removed": (bytes, random) => {
    const at = whole(random, bytes.length);
    return Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + 1 + whole(random, 4))]);
  },
  "bytes added": (bytes, random) => {
    const at = whole(random, bytes.length + 1);
    const more = Buffer.from(Array.from({ length: 1 + whole(random, 4) }, () => whole(random, 256)));
    return Buffer.concat([bytes.subarray(0, at), more, bytes.subarray(at)]);
  },
  "bytes repeated": (bytes, random) => {
    const at = whole(random, bytes.length);
    return Buffer.concat([bytes.subarray(0, at + 1), bytes.subarray(at)]);
  },
  "the end cut off": (bytes, random) => Buffer.from(bytes.subarray(0, whole(random, bytes.length))),
  "a line removed": (bytes, random) => {
    const [from, to] = pickLine(bytes, random);
    return Buffer.concat([bytes.subarray(0, from), bytes.subarray(to)]);
  },
  "a line added": (bytes, random) => {
    const [from, to] = pickLine(bytes, random);
    const [at] = pickLine(bytes, random);
    return Buffer.concat([bytes.subarray(0, at), bytes.subarray(from, to), bytes.subarray(at)]);
  },
  "two lines exchanged": (bytes, random) => {
    const starts = lineStarts(bytes);
    if (starts.length < 3) return bytes;
    const at = whole(random, starts.length - 2);
    const [first, second, end] = [starts[at]!, starts[at + 1]!, starts[at + 2]!];
    return Buffer.concat([
      bytes.subarray(0, first),
      bytes.subarray(second, end),
      bytes.subarray(first, second),
      bytes.subarray(end),
    ]);
  },
};

const kinds = Object.keys(mutationsOf);

let intact: MemoryFiles;

beforeAll(async () => {
  using folder = new ScratchFolder();
  const records = await openRecords(folder.file("data"));
  await fillWithEverything(records);
  await records.close();
  await exportFolder(folder.file("data"), folder.file("export"));
  intact = await MemoryFiles.of(folder.file("export"));
});

/** Names of files, each as often as is its share of the bytes; the ledger itself every other time. */
const pickName = (random: Generator): string => {
  if (random.next() < 0.5) return exportNames.ledger;
  const names = [...intact.files.keys()];
  return names[whole(random, names.length)]!;
};

describe(`an export in which something was altered, seed ${seed}`, () => {
  it("holds as it was written", async () => {
    const check = await checkExport(intact);
    expect(check).toMatchObject({ holds: true, breaks: [], holding: [[0, check.entries - 1]] });
    expect(check.entries).toBeGreaterThan(15);
    expect(check.runs).toHaveLength(2);
    expect(check.certificates).toHaveLength(4);
  });

  it(`does not hold after any of ${mutations} random mutations, and each is told in a sentence [R22]`, async () => {
    const random = seededGenerator(seed);
    const missed: string[] = [];
    let done = 0;
    while (done < mutations) {
      const kind = kinds[done % kinds.length]!;
      const name = pickName(random);
      const bytes = Buffer.from(intact.files.get(name)!);
      const changed = mutationsOf[kind]!(bytes, random);
      // Two like lines exchanged, or bytes removed at the very end of a file that were none, alter nothing.
      if (changed.equals(bytes)) {
        done += 1;
        continue;
      }
      const altered = intact.with(name, changed);
      // Nothing but the ledger tells of itself, of logs and certificates; the manifest tells of what is beside them.
      const named = name === exportNames.ledger || /\.(jsonl|pdf|xml)$/.test(name);
      const check = await (named ? checkRecords(new ExportSource(altered)) : checkExport(altered));
      const told = check.breaks.every(({ sentence }) => /^[A-Z].*\.$/s.test(sentence));
      if (check.holds || check.breaks.length === 0 || !told) missed.push(`${done}: ${kind} in ${name}`);
      done += 1;
    }
    expect(missed).toEqual([]);
  }, 120_000);

  it("does not hold without one of its files, or with one more [R22]", async () => {
    const held: string[] = [];
    for (const name of intact.files.keys()) {
      if (name === exportNames.ledger) continue;
      if ((await checkExport(intact.with(name, null))).holds) held.push(name);
    }
    expect(held).toEqual([]);
    const more = await checkExport(intact.with("runs/other.log.jsonl", Buffer.from("{}\n")));
    expect(more.breaks.map(({ sentence }) => sentence)).toContain(
      "Run other has a log, and the ledger knows nothing of it.",
    );
  });
});

describe("what is said of a ledger's file alone [R22]", () => {
  const lines = (): string[] => Buffer.from(intact.files.get(exportNames.ledger)!).toString("utf8").split("\n");

  const checkLines = (changed: readonly string[]) =>
    checkRecords(
      new ExportSource(intact.with(exportNames.ledger, Buffer.from(changed.join("\n"))), { ledgerOnly: true }),
    );

  it("an entry that was changed is named, and all others are said to hold", async () => {
    const count = lines().length - 2;
    for (let entry = 0; entry < count; entry += 1) {
      const changed = lines().with(entry, lines()[entry]!.replace(/"author":"/, '"author":"not '));
      const { breaks, holding } = await checkLines(changed);
      expect(breaks).toEqual([{ entry, sentence: expect.stringMatching(new RegExp(`^Entry ${entry} was changed`)) }]);
      const parts = [
        [0, entry - 1],
        [entry + 1, count - 1],
      ].filter(([from, to]) => from! <= to!);
      expect(holding.flatMap(([from, to]) => Array.from({ length: to - from + 1 }, (_, at) => from + at))).toEqual(
        parts.flatMap(([from, to]) => Array.from({ length: to! - from! + 1 }, (_, at) => from! + at)),
      );
    }
  });

  it("an entry whose predecessor was rewritten is named itself", async () => {
    const changed = lines().with(7, lines()[7]!.replace(/"predecessor":"./, '"predecessor":"g'));
    const { breaks } = await checkLines(changed);
    expect(breaks.map(({ entry }) => entry)).toEqual([7]);
  });

  it.each<[string, (all: string[]) => string[], number, RegExp]>([
    ["removed", (all) => all.toSpliced(5, 1), 5, /^Entry 5 is missing or out of place; entry 6 stands there/],
    ["added", (all) => all.toSpliced(5, 0, all[4]!), 5, /^Entry 5 is missing or out of place; entry 4 stands there/],
    ["exchanged", (all) => all.with(5, all[6]!).with(6, all[5]!), 5, /^Entry 5 is missing or out of place; entry 6/],
    ["taken from the end", (all) => all.toSpliced(all.length - 3, 1), -1, /is missing: there were|missing or out of/],
    ["unreadable", (all) => all.with(5, all[5]!.slice(1)), 5, /^Entry 5 is not as it was written/],
    ["counted wrongly", (all) => all.map((line) => line.replace(/^\{"entries":\d+/, '{"entries":7')), 7, /speaks of 7/],
    ["without its last line", (all) => all.toSpliced(all.length - 2, 1), -1, /without the line that says so/],
  ])("entries %s", async (_, change, entry, words) => {
    const { holds, breaks } = await checkLines(change(lines()));
    expect(holds).toBe(false);
    expect(breaks[0]!.sentence).toMatch(words);
    expect(entry < 0 || breaks[0]!.entry === entry).toBe(true);
  });
});

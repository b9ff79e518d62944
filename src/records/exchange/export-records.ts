import { createHash } from "node:crypto";
import { mkdir, open, readdir, rename, rm } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import type { Kysely } from "kysely";
import { parseEvent } from "#calibration";
import { Fault } from "#fault";
import { BrokenLine } from "../blocks/run-lines.ts";
import { canonicalJson } from "../chain/canonical-json.ts";
import { thisStation } from "../ledger/ledger.ts";
import { BrokenEntry } from "../ledger/ledger-entries.ts";
import type { Tables } from "../storage/tables.ts";
import { storageFault } from "../storage/trouble.ts";
import { hashOf } from "../ledger/entry.ts";
import { DatabaseSource } from "../verify/database-source.ts";
import { csvRow } from "./csv.ts";
import { exportFormat } from "./check-export.ts";
import { endLine, exportNames } from "./export-source.ts";
import { exportedTables, tableText } from "./export-tables.ts";

/** What was exported. */
export interface Exported {
  readonly station: string;
  readonly entries: number;
  readonly head: string;
  readonly runs: number;
  readonly certificates: number;
  readonly files: number;
}

/** Writes files below a folder, each whole and on the disk, and keeps their hashes. */
class FileWriter {
  readonly hashes: Record<string, string> = {};
  readonly #folder: string;

  constructor(folder: string) {
    this.#folder = folder;
  }

  async write(name: string, pieces: AsyncIterable<string | Uint8Array> | Iterable<string | Uint8Array>): Promise<void> {
    const path = join(this.#folder, name);
    await mkdir(dirname(path), { recursive: true });
    const hash = createHash("sha256");
    const file = await open(path, "wx");
    try {
      for await (const piece of pieces) {
        hash.update(piece);
        await file.writeFile(piece);
      }
      await file.datasync();
    } finally {
      await file.close();
    }
    this.hashes[name] = hash.digest("hex");
  }
}

const damaged = (reason: string): Fault =>
  new Fault(
    "records.damaged",
    `These records do not hold, so they were not exported. ${reason} dwellpoint verify tells all that does not hold.`,
  );

/** The ledger as a file: an entry a line, and a last line that says where it ends. */
async function* ledgerText(source: DatabaseSource, told: { entries: number; head: string }): AsyncGenerator<string> {
  for await (const page of source.entries()) {
    if (page instanceof BrokenEntry) throw damaged(page.reason);
    yield page.map(({ text }) => `${text}\n`).join("");
    told.entries += page.length;
    told.head = hashOf(page.at(-1)!.text);
  }
  yield `${endLine(told.entries, told.head)}\n`;
}

async function* logText(source: DatabaseSource, run: string): AsyncGenerator<string> {
  for await (const page of source.lines(run)) {
    if (page instanceof BrokenLine) throw damaged(page.reason);
    yield page.map((line) => `${line}\n`).join("");
  }
}

/** The readings of a run as a table: run time in seconds, and the digits as they came. */
async function* readingsText(source: DatabaseSource, run: string): AsyncGenerator<string> {
  let next = 0;
  yield csvRow(["event", "channel", "time_s", "value", "unit", "digits"]);
  for await (const page of source.lines(run)) {
    if (page instanceof BrokenLine) throw damaged(page.reason);
    for (const line of page) {
      const event = parseEvent(line, (next += 1));
      if (event.kind !== "readings-taken") continue;
      const { n, channel, unit, times, values, wire } = event;
      yield values.map((value, at) => csvRow([n, channel, times[at]!, value, unit, wire?.[at] ?? null])).join("");
    }
  }
}

const writeAll = async (database: Kysely<Tables>, folder: string): Promise<Exported> => {
  const writer = new FileWriter(folder);
  const station = await thisStation(database);
  const source = new DatabaseSource(database, station);
  const told = { entries: 0, head: "" };
  await writer.write(exportNames.ledger, ledgerText(source, told));
  const runs = await source.runs();
  for (const run of runs) {
    await writer.write(exportNames.log(run), logText(source, run));
    await writer.write(`runs/${run}.readings.csv`, readingsText(source, run));
  }
  const files = await source.files();
  for (const file of files) await writer.write(exportNames.certificate(file), [(await source.bytes(file))!]);
  for (const table of exportedTables) await writer.write(`tables/${table}.csv`, [await tableText(database, table)]);
  const { entries, head } = told;
  const hashes = { ...writer.hashes };
  await writer.write(exportNames.manifest, [
    `${canonicalJson({ format: exportFormat, station, entries, head, files: hashes })}\n`,
  ]);
  const certificates = new Set(files.map(({ number }) => number)).size;
  return { station, entries, head, runs: runs.length, certificates, files: Object.keys(writer.hashes).length };
};

const isEmpty = async (folder: string): Promise<boolean> => {
  try {
    return (await readdir(folder)).length === 0;
  } catch (thrown) {
    if (thrown instanceof Error && "code" in thrown && thrown.code === "ENOENT") return true;
    throw thrown;
  }
};

/**
 * Writes everything that the records hold as open files below a folder: the ledger and the logs as JSON Lines, readings and
 * lists as CSV, certificates as PDF and XML, and a manifest with the SHA-256 of each. The folder appears when it is whole.
 */
export const exportRecords = async (database: Kysely<Tables>, to: string): Promise<Exported> => {
  const folder = resolve(to);
  const part = `${folder}.part`;
  try {
    if (!(await isEmpty(folder)))
      throw new Fault("records.conflict", `${folder} is not empty. Name a folder that is not there yet.`, {
        data: { folder },
      });
    await rm(part, { recursive: true, force: true });
    await mkdir(part, { recursive: true });
    try {
      const exported = await writeAll(database, part);
      await rm(folder, { recursive: true, force: true });
      await rename(part, folder);
      return exported;
    } finally {
      await rm(part, { recursive: true, force: true });
    }
  } catch (thrown) {
    throw storageFault(thrown, folder);
  }
};

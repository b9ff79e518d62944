import { createReadStream } from "node:fs";
import { readFile, readdir } from "node:fs/promises";
import { join } from "node:path";
import { TextDecoder } from "node:util";
import { BrokenLine } from "../blocks/run-lines.ts";
import { canonicalJson } from "../chain/canonical-json.ts";
import { ledgerFormat } from "../ledger/entry.ts";
import { BrokenEntry, type StoredEntry } from "../ledger/ledger-entries.ts";
import type { CertificateFile, RecordsSource } from "../verify/source.ts";

/** Names in an export. */
export const exportNames = {
  ledger: "ledger.jsonl",
  log: (run: string): string => join("runs", `${run}.log.jsonl`),
  certificate: ({ number, kind }: CertificateFile): string =>
    join("certificates", `${encodeURIComponent(number)}.${kind}`),
  manifest: "manifest.json",
} as const;

/** What the last line of a ledger's file says: how many entries there are, and the hash of the last. */
export const endLine = (entries: number, head: string): string => canonicalJson({ entries, format: ledgerFormat, head });

const lineFeed = 0x0a;

/**
 * The lines of a file, page by page. A byte that is not UTF-8, a mark of byte order, or a last line without its line feed is
 * a break: a file of ours has none of them.
 */
export async function* fileLines(path: string): AsyncGenerator<readonly string[] | string> {
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  let rest = Buffer.alloc(0);
  for await (const piece of createReadStream(path, { highWaterMark: 1 << 18 }) as AsyncIterable<Buffer>) {
    const bytes = rest.length === 0 ? piece : Buffer.concat([rest, piece]);
    const end = bytes.lastIndexOf(lineFeed);
    if (end < 0) {
      rest = bytes;
      continue;
    }
    rest = Buffer.from(bytes.subarray(end + 1));
    try {
      yield decoder.decode(bytes.subarray(0, end)).split("\n");
    } catch {
      yield "holds bytes that are no text (UTF-8)";
      return;
    }
  }
  if (rest.length > 0) yield "ends in the middle of a line";
}

const missing = (thrown: unknown): boolean =>
  thrown instanceof Error && "code" in thrown && (thrown.code === "ENOENT" || thrown.code === "ENOTDIR");

/** Names of the files in a folder; none where it is not there. */
const namesIn = async (folder: string): Promise<string[]> => {
  try {
    return (await readdir(folder)).toSorted();
  } catch (thrown) {
    if (missing(thrown)) return [];
    throw thrown;
  }
};

interface End {
  readonly entries: number;
  readonly head: string;
}

const asEnd = (line: string): End | null => {
  const end = /^\{"entries":(\d+),"format":"[^"]*","head":"([0-9a-f]{64})"\}$/.exec(line);
  if (end === null) return null;
  const [entries, head] = [Number(end[1]), end[2]!];
  return endLine(entries, head) === line ? { entries, head } : null;
};

/**
 * The records in the files of an export: the ledger, and where it is a whole folder the logs and certificates beside it. A
 * ledger's file alone can be checked too.
 */
export class ExportSource implements RecordsSource {
  readonly #ledger: string;
  readonly #folder: string | null;
  #end: End | null = null;

  /** `folder` null: the ledger's file is all there is. */
  constructor(ledger: string, folder: string | null) {
    this.#ledger = ledger;
    this.#folder = folder;
  }

  async *entries(): AsyncGenerator<readonly StoredEntry[] | BrokenEntry> {
    let next = 0;
    let last: string | null = null;
    const stored = (lines: readonly string[]): StoredEntry[] =>
      lines.map((text) => {
        next += 1;
        return { number: null, text, hash: null };
      });
    for await (const page of fileLines(this.#ledger)) {
      if (typeof page === "string") {
        yield new BrokenEntry(next, `The file of the ledger ${page}, behind entry ${next - 1}.`);
        return;
      }
      // The very last line says where the ledger ends.
      const lines: readonly string[] = last === null ? page : [last, ...page];
      last = lines.at(-1)!;
      yield stored(lines.slice(0, -1));
    }
    this.#end = last === null ? null : asEnd(last);
    if (this.#end !== null) return;
    if (last !== null) yield stored([last]);
    yield new BrokenEntry(next, `The ledger ends with entry ${next - 1}, without the line that says so.`);
  }

  end(): Promise<End | null> {
    return Promise.resolve(this.#end);
  }

  async runs(): Promise<readonly string[] | null> {
    if (this.#folder === null) return null;
    const ending = ".log.jsonl";
    const names = await namesIn(join(this.#folder, "runs"));
    return names.filter((name) => name.endsWith(ending)).map((name) => name.slice(0, -ending.length));
  }

  async *lines(run: string): AsyncGenerator<readonly string[] | BrokenLine> {
    if (this.#folder === null) return;
    let next = 0;
    try {
      for await (const page of fileLines(join(this.#folder, exportNames.log(run)))) {
        if (typeof page === "string") {
          yield new BrokenLine(next, `Event ${next}: the file of the log ${page}.`);
          return;
        }
        yield page;
        next += page.length;
      }
    } catch (thrown) {
      if (!missing(thrown)) throw thrown;
    }
  }

  async files(): Promise<readonly CertificateFile[] | null> {
    if (this.#folder === null) return null;
    const names = await namesIn(join(this.#folder, "certificates"));
    return names.flatMap((name) => {
      const [, number, kind] = /^(.+)\.(pdf|xml)$/.exec(name) ?? [];
      return number === undefined ? [] : [{ number: decodeURIComponent(number), kind: kind as CertificateFile["kind"] }];
    });
  }

  async bytes(file: CertificateFile): Promise<Uint8Array | null> {
    try {
      return await readFile(join(this.#folder ?? "", exportNames.certificate(file)));
    } catch (thrown) {
      if (missing(thrown)) return null;
      throw thrown;
    }
  }
}

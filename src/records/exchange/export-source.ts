import { BrokenLine } from "../blocks/run-lines.ts";
import { canonicalJson } from "../chain/canonical-json.ts";
import { ledgerFormat } from "../ledger/entry.ts";
import { BrokenEntry, type StoredEntry } from "../ledger/ledger-entries.ts";
import type { CertificateFile, RecordsSource } from "../verify/source.ts";
import { wholeFile, type ExportFiles } from "./export-files.ts";
import { fileLines } from "./file-lines.ts";

/** Names in an export. */
export const exportNames = {
  ledger: "ledger.jsonl",
  log: (run: string): string => `runs/${run}.log.jsonl`,
  certificate: ({ number, kind }: CertificateFile): string => `certificates/${encodeURIComponent(number)}.${kind}`,
  manifest: "manifest.json",
} as const;

/** What the last line of a ledger's file says: how many entries there are, and the hash of the last. */
export const endLine = (entries: number, head: string): string =>
  canonicalJson({ entries, format: ledgerFormat, head });

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

const logName = /^runs\/(.+)\.log\.jsonl$/;
const certificateName = /^certificates\/(.+)\.(pdf|xml)$/;

/** The records in the files of an export. A ledger's file alone can be checked too. */
export class ExportSource implements RecordsSource {
  readonly #files: ExportFiles;
  readonly #ledgerOnly: boolean;
  #end: End | null = null;

  constructor(files: ExportFiles, { ledgerOnly = false }: { readonly ledgerOnly?: boolean } = {}) {
    this.#files = files;
    this.#ledgerOnly = ledgerOnly;
  }

  async *entries(): AsyncGenerator<readonly StoredEntry[] | BrokenEntry> {
    let next = 0;
    let last: string | null = null;
    const stored = (lines: readonly string[]): StoredEntry[] =>
      lines.map((text) => {
        next += 1;
        return { number: null, text, hash: null };
      });
    for await (const page of fileLines(this.#files.bytes(exportNames.ledger))) {
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
    if (this.#ledgerOnly) return null;
    return (await this.#files.names()).flatMap((name) => logName.exec(name)?.[1] ?? []);
  }

  async *lines(run: string): AsyncGenerator<readonly string[] | BrokenLine> {
    const name = exportNames.log(run);
    if (!(await this.#files.names()).includes(name)) return;
    let next = 0;
    for await (const page of fileLines(this.#files.bytes(name))) {
      if (typeof page === "string") {
        yield new BrokenLine(next, `Event ${next}: the file of the log ${page}.`);
        return;
      }
      yield page;
      next += page.length;
    }
  }

  async files(): Promise<readonly CertificateFile[] | null> {
    if (this.#ledgerOnly) return null;
    return (await this.#files.names()).flatMap((name) => {
      const [, number, kind] = certificateName.exec(name) ?? [];
      return number === undefined
        ? []
        : [{ number: decodeURIComponent(number), kind: kind as CertificateFile["kind"] }];
    });
  }

  async bytes(file: CertificateFile): Promise<Uint8Array | null> {
    const name = exportNames.certificate(file);
    return (await this.#files.names()).includes(name) ? wholeFile(this.#files, name) : null;
  }
}

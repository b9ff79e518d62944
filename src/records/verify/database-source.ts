import type { Kysely } from "kysely";
import { BrokenLine, runLines } from "../blocks/run-lines.ts";
import { ledgerEntries } from "../ledger/ledger-entries.ts";
import type { Tables } from "../storage/tables.ts";
import type { CertificateFile, RecordsSource } from "./source.ts";

/** The records of a station as they stand in its database. */
export class DatabaseSource implements RecordsSource {
  readonly #database: Kysely<Tables>;
  readonly #station: string;

  constructor(database: Kysely<Tables>, station: string) {
    this.#database = database;
    this.#station = station;
  }

  entries(): ReturnType<RecordsSource["entries"]> {
    return ledgerEntries(this.#database, this.#station);
  }

  /** A database says nothing of its end but what its tables show, and they are compared with the ledger. */
  end(): Promise<null> {
    return Promise.resolve(null);
  }

  async runs(): Promise<string[]> {
    const rows = await this.#database.selectFrom("runs").select("run").orderBy("number").execute();
    return rows.map(({ run }) => run);
  }

  async *lines(run: string): AsyncGenerator<readonly string[] | BrokenLine> {
    const row = await this.#database.selectFrom("runs").select("number").where("run", "=", run).executeTakeFirst();
    if (row === undefined) return;
    for await (const page of runLines(this.#database, row.number))
      yield page instanceof BrokenLine ? page : page.map(({ text }) => text);
  }

  files(): Promise<CertificateFile[]> {
    return this.#database
      .selectFrom("certificate_files")
      .innerJoin("certificates", "certificates.sequence", "certificate_files.sequence")
      .select(["certificates.number", "certificate_files.kind"])
      .orderBy("certificate_files.sequence")
      .orderBy("certificate_files.kind")
      .execute();
  }

  async bytes({ number, kind }: CertificateFile): Promise<Uint8Array | null> {
    const row = await this.#database
      .selectFrom("certificate_files")
      .innerJoin("certificates", "certificates.sequence", "certificate_files.sequence")
      .select("bytes")
      .where("certificates.number", "=", number)
      .where("kind", "=", kind)
      .executeTakeFirst();
    return row?.bytes ?? null;
  }
}

import type { Database } from "better-sqlite3";
import { SqliteDialect, SqliteDriver, type DatabaseConnection, type Driver } from "kysely";

/**
 * After a full disk or a failed write SQLite may have rolled back by itself (sqlite.org, "Transaction", response to errors within a
 * transaction). The driver's own rollback then fails, and its error would stand in place of the reason.
 */
class HonestDriver extends SqliteDriver {
  readonly #database: Database;

  constructor(database: Database) {
    super({ database });
    this.#database = database;
  }

  override async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    if (this.#database.inTransaction) await super.rollbackTransaction(connection);
  }
}

/** SQLite through an open database, failures told as they are. */
export class RecordsDialect extends SqliteDialect {
  readonly #database: Database;

  constructor(database: Database) {
    super({ database });
    this.#database = database;
  }

  override createDriver(): Driver {
    return new HonestDriver(this.#database);
  }
}

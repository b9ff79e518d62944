import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import Database from "better-sqlite3";
import { describe, expect, it } from "vitest";
import { openRecords } from "../index.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";
import { newestVersion } from "./migrate.ts";

const contents = (file: string): string => createHash("sha256").update(readFileSync(file)).digest("hex");

const make = (file: string, sql: string): void => {
  const database = new Database(file);
  database.exec(sql);
  database.close();
};

const ours = "PRAGMA application_id = 1146570060;";

describe("a database file [R10]", () => {
  it("is brought to the newest version and says whose it is", async () => {
    using folder = new ScratchFolder();
    await (await openRecords(folder.path)).close();
    const database = new Database(folder.file("records.sqlite"), { readonly: true });
    expect(database.pragma("user_version", { simple: true })).toBe(newestVersion);
    expect(
      Buffer.from((database.pragma("application_id", { simple: true }) as number).toString(16), "hex").toString(),
    ).toBe("DWEL");
    expect(database.pragma("journal_mode", { simple: true })).toBe("wal");
    database.close();
  });

  it.each<[string, string, RegExp]>([
    [
      "of another program",
      "CREATE TABLE recipes (jam TEXT); INSERT INTO recipes VALUES ('quince');",
      /not one of Dwellpoint/,
    ],
    ["of another program, with a version", "PRAGMA user_version = 1;", /not one of Dwellpoint/],
    [
      "of a newer program",
      `${ours} PRAGMA user_version = ${newestVersion + 1}; CREATE TABLE runs (run TEXT);`,
      /newer Dwellpoint .*Use the newer program/,
    ],
  ])("%s is refused and not touched", async (_, sql, words) => {
    using folder = new ScratchFolder();
    const file = folder.file("records.sqlite");
    make(file, sql);
    const before = contents(file);
    await expect(openRecords(folder.path)).rejects.toMatchObject({
      code: "records.damaged",
      message: expect.stringMatching(words),
    });
    expect(contents(file)).toBe(before);
  });

  it("that a step cannot be done to stays at the version before it, whole", async () => {
    using folder = new ScratchFolder();
    const file = folder.file("records.sqlite");
    make(file, `${ours} CREATE TABLE certificates (left_over TEXT);`);
    await expect(openRecords(folder.path)).rejects.toThrow(/already exists/);
    const database = new Database(file, { readonly: true });
    expect(database.pragma("user_version", { simple: true })).toBe(0);
    expect(database.prepare("SELECT name FROM sqlite_schema").pluck().all()).toEqual(["certificates"]);
    database.close();
  });
});

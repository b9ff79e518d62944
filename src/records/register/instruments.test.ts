import Database from "better-sqlite3";
import { describe, expect, it } from "vitest";
import { openRecords, type KnownInstrument } from "../index.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const readout: KnownInstrument = {
  name: "readout-1",
  entry: "scpi-thermometer-readout",
  role: "readout",
  at: "serial:/dev/ttyUSB0",
  said: "Invented,Readout,1108,1.4",
  answered: "2026-11-20T07:59:00.000Z",
};

const open = (folder: ScratchFolder) => openRecords(folder.path, { now: () => "2026-11-20T08:00:00.000Z" });

describe("instruments", () => {
  it("are kept by name, the newest revision standing for each, also after the records were closed [R17]", async () => {
    using folder = new ScratchFolder();
    let records = await open(folder);
    expect(await records.listInstruments()).toEqual([]);
    await records.keepInstrument(readout);
    await records.keepInstrument({ ...readout, name: "bath", entry: "scpi-heat-source", role: "source" });
    const moved = { ...readout, at: "serial:/dev/ttyUSB1", answered: "2026-11-21T07:59:00.000Z" };
    expect(await records.keepInstrument(moved)).toEqual({
      ...moved,
      revision: 2,
      kept: true,
      saved: "2026-11-20T08:00:00.000Z",
    });
    await records.close();
    records = await open(folder);
    const listed = await records.listInstruments();
    expect(listed.map(({ name, at, revision }) => [name, at, revision])).toEqual([
      ["bath", readout.at, 1],
      ["readout-1", "serial:/dev/ttyUSB1", 2],
    ]);
    await records.close();
  });

  it("that are let go are no longer listed, stay in the history, and can be kept again [R17]", async () => {
    using folder = new ScratchFolder();
    const records = await open(folder);
    await records.keepInstrument(readout);
    await records.letInstrumentGo("readout-1");
    expect(await records.listInstruments()).toEqual([]);
    await expect(records.letInstrumentGo("readout-1")).rejects.toMatchObject({ code: "records.not-found" });
    await expect(records.letInstrumentGo("never")).rejects.toMatchObject({ code: "records.not-found" });
    await records.keepInstrument(readout);
    expect((await records.listInstruments()).map(({ revision }) => revision)).toEqual([3]);
    const history = await records.instrumentHistory("readout-1");
    expect(history.map(({ revision, kept }) => [revision, kept])).toEqual([
      [3, true],
      [2, false],
      [1, true],
    ]);
    await records.close();
  });

  it("cannot be overwritten or removed in the database itself [R1, R17]", async () => {
    using folder = new ScratchFolder();
    const records = await open(folder);
    await records.keepInstrument(readout);
    await records.close();
    const database = new Database(folder.file("records.sqlite"));
    expect(() => database.exec("UPDATE instrument_revisions SET at = 'x'")).toThrow(/append-only/);
    expect(() => database.exec("DELETE FROM instrument_revisions")).toThrow(/append-only/);
    database.close();
  });
});

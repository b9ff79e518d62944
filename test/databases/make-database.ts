/**
 * Makes the database file that stands for the newest version of the records, and beside it what it must answer. Run once
 * when a version is released; the files of earlier versions are never made again.
 *
 *   node test/databases/make-database.ts
 */
import { copyFileSync, existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { openRecords } from "#records";
import { sampleEvents, sampleOpening } from "../../src/records/sample-log.test-support.ts";
import { newestVersion } from "../../src/records/storage/migrate.ts";
import { answersOf } from "./answers-of.ts";

/** Fills an empty folder with invented records of every kind; answers what they answer. */
export const fillRecords = async (folder: string): Promise<unknown> => {
  const records = await openRecords(folder, { now: () => "2026-11-20T08:00:00.000Z" });
  try {
    const opening = sampleOpening("CV-2611-001-20261120T093000Z", { rehearsal: false });
    await records.saveJob(opening.job, { source: "# a job file, as it was given\njob: CV-2611-001\n" });
    const journal = await records.openRunJournal(opening);
    await journal.append(sampleEvents());
    await records.keepDecision(opening.run, "pass");
    await records.addCertificate({
      run: opening.run,
      issued: "2026-11-20T11:00:00.000Z",
      authorisedBy: "Idris Farrowby (demo)",
      decision: "pass",
      make: (sequence) => ({
        number: `CV-2611-001-${sequence}`,
        pdf: Buffer.from("%PDF-1.7 invented\n"),
        xml: Buffer.from("<invented/>\n"),
      }),
    });
    await records.openRunJournal(sampleOpening("interrupted", { rehearsal: false }));
    const bath = { name: "bath", entry: "scpi-heat-source", role: "source", at: "tcp://192.168.1.20:5025" } as const;
    await records.keepInstrument({ ...bath, said: "Invented,Bath,1,1.0", answered: "2026-11-20T07:58:00.000Z" });
    await records.keepInstrument({ ...bath, said: "Invented,Bath,1,1.1", answered: "2026-11-20T07:59:00.000Z" });
    const port = { ...bath, name: "readout", entry: "scpi-thermometer-readout", role: "readout" } as const;
    await records.keepInstrument({ ...port, said: "Invented,Readout,2,1.0", answered: "2026-11-20T07:59:30.000Z" });
    await records.letInstrumentGo("readout");
    await records.writeSetting("station", { name: "Calder Vale Calibration (demo)" });
    return await answersOf(records);
  } finally {
    await records.close();
  }
};

const makeDatabase = async (target: string): Promise<void> => {
  const folder = mkdtempSync(join(tmpdir(), "dwellpoint-make-database-"));
  writeFileSync(`${target}.json`, `${JSON.stringify(await fillRecords(folder), null, 2)}\n`);
  copyFileSync(join(folder, "records.sqlite"), `${target}.sqlite`);
  rmSync(folder, { recursive: true });
};

if (import.meta.main) {
  const target = join(import.meta.dirname, `v${newestVersion}`);
  if (existsSync(`${target}.sqlite`)) {
    process.stderr.write(
      `${target}.sqlite is there already. The database of a released version is never made again.\n`,
    );
    process.exitCode = 1;
  } else {
    await makeDatabase(target);
  }
}

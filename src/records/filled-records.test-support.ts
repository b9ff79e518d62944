import type { Records } from "./open-records.ts";
import { sampleEvents, sampleOpening } from "./sample-log.test-support.ts";

const by = "Orla Penhallow (demo)";
const issued = "2026-11-20T11:00:00.000Z";

const certificate = (run: string, number: string, reason?: { number: string; reason: string }) => ({
  run,
  issued,
  authorisedBy: "Idris Farrowby (demo)",
  decision: "pass" as const,
  terms: { languages: ["en"] },
  ...(reason === undefined ? {} : { amends: reason }),
  make: () => ({
    number,
    pdf: Buffer.from(`%PDF-1.7 ${number}\n`),
    xml: Buffer.from(`<invented number="${number}"/>\n`),
  }),
});

/** Puts an invented record of every kind into records: two runs, one of them ended, with certificates, kit and findings. */
export const fillWithEverything = async (records: Records): Promise<void> => {
  const opening = sampleOpening("CV-2611-001-20261120T093000Z", { rehearsal: false });
  await records.saveJob(opening.job, { source: "# a job file, as it was given\njob: CV-2611-001\n" });
  const journal = await records.openRunJournal(opening);
  const events = sampleEvents();
  await journal.append(events.slice(0, 5));
  const open = await records.openRunJournal(sampleOpening("interrupted", { rehearsal: false }));
  const spare = { ...opening.job.kit.reference, id: "ref-2", serial: "1109" };
  await open.append([{ kind: "kit-replaced", at: 3, reference: spare, earlier: "keep", reason: "dropped", by }]);
  await journal.append(events.slice(5));
  await records.keepDecision(opening.run, "pass");
  const { channel: _, ...reference } = opening.job.kit.reference;
  await records.reviseKit({
    kind: "reference",
    entry: { ...reference, driftPerYear: 0.02 },
    author: by,
    reason: "drifts more than thought",
  });
  await records.keepFinding({ entry: "ref-1", kind: "ice-point", at: issued, author: by, document: { ohm: 100.01 } });
  await records.addCertificate(certificate(opening.run, "C-1"));
  await records.addCertificate(certificate(opening.run, "C-2", { number: "C-1", reason: "the address was wrong" }));
  await records.withdrawCertificate({ number: "C-2", at: issued, by: "Idris Farrowby (demo)", reason: "asked for" });
  const bath = { name: "bath", entry: "scpi-heat-source", role: "source", at: "tcp://192.168.1.20:5025" } as const;
  await records.keepInstrument({ ...bath, said: "Invented,Bath,1,1.0", answered: issued });
  await records.letInstrumentGo("bath");
  await records.writeSetting("station", { name: "Calder Vale Calibration (demo)" });
};

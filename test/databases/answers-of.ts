import type { Records } from "#records";

/** Everything that a person can ask of records, as JSON. */
export const answersOf = async (records: Records): Promise<unknown> => {
  const { runs } = await records.listRuns();
  const { certificates } = await records.listCertificates();
  const jobs = await records.listJobs();
  const answers = {
    runs,
    logs: await Promise.all(runs.map(({ run }) => records.exportLog(run))),
    chains: await Promise.all(runs.map(({ run }) => records.verifyChain(run))),
    jobs,
    items: await records.listItems(),
    kit: await records.listKit(),
    instruments: await records.listInstruments(),
    instrumentHistory: await records.instrumentHistory("bath"),
    findings: await records.listFindings(),
    usedIn: await records.runsWithKit({ kind: "reference", serial: "1108" }),
    certificates,
    files: await Promise.all(
      certificates.flatMap(({ number }) =>
        (["pdf", "xml"] as const).map(async (kind) =>
          Buffer.from(await records.certificateBytes(number, kind)).toString("utf8"),
        ),
      ),
    ),
    station: await records.readSetting("station"),
  };
  return JSON.parse(JSON.stringify(answers));
};

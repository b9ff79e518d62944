import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, afterEach, describe, expect, test } from "vitest";
import { paths } from "#contract";
import { labelWords, writeTeds, type BroughtEntry } from "#intake";
import { openRecords } from "#records";
import { readPdf } from "../../src/certificates/fixtures/read-pdf.test-support.ts";
import { certificate, coefficients } from "../../src/intake/identity/fixtures/certificate.test-support.ts";
import { reference } from "../../src/intake/identity/fixtures/entries.test-support.ts";
import { home, removeScratch, scratch } from "./program.test-support.ts";
import { startStation, type StartedStation } from "./station.test-support.ts";

const ends: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end();
});
afterAll(removeScratch);

const bytes = (text: string): Uint8Array<ArrayBuffer> => new Uint8Array(Buffer.from(text));
/** The invented certificate, dated so that it holds today. */
const year = new Date().getUTCFullYear();
const current = (text: string): string =>
  text.replaceAll("2026-03", `${year - 1}-12`).replaceAll("2027-03-10", `${year + 1}-12-10`);

const station = async (): Promise<StartedStation> => {
  const data = join(await scratch(), "data");
  const records = await openRecords(data);
  const { revision: _, ...entry } = reference().entry;
  await records.reviseKit({ kind: "reference", entry, author: "Orla Penhallow (demo)", reason: "first" });
  await records.close();
  const started = await startStation(data);
  ends.push(() => started.stop());
  return started;
};

const signed = { author: "Orla Penhallow (demo)", reason: "calibrated anew" };

describe("a certificate brought to the station", () => {
  test("is understood, proposed as a revision, approved, listed, and printed as a label", async () => {
    const { client, fetch } = await station();
    const { brought, items } = await client.bringProbe(bytes(current(certificate())));
    expect(items[0]).toMatchObject({
      source: "Digital Calibration Certificate 3.3.0",
      tables: [
        { rows: [["273.160", "100.0150", "0.0039", "2"], expect.anything(), expect.anything()] },
        expect.anything(),
      ],
    });
    const proposal = await client.proposeKit({ brought });
    expect(proposal).toMatchObject({ known: { id: "pr-2207", revision: 1 }, knownBy: "serial", approvable: true });
    expect(proposal.differences).toContainEqual({ path: "sensor.r0", before: "100.0109", after: "100.0113", from: 6 });
    const detail = await client.approveKit({ brought, ...signed });
    expect(detail.revisions.map(({ revision, author }) => [revision, author])).toEqual([
      [2, signed.author],
      [1, signed.author],
    ]);
    expect(detail.revisions[0]?.effects.length).toBe(5);
    expect(detail).toMatchObject({
      check: { holds: true },
      k: 2,
      entry: { state: "valid", certificate: "NT-26-1180" },
    });
    expect((await client.kit()).entries).toMatchObject([{ id: "pr-2207", revision: 2 }]);
    const label = await readPdf(new Uint8Array(await (await fetch(paths.kitLabel("pr-2207"))).arrayBuffer()));
    expect(label.text).toContain("pr-2207 · revision 2");
    expect(await client.proposeKit({ brought })).toMatchObject({ unchanged: true, approvable: false });
  });

  test("with a digit copied wrongly is not recorded, whatever the page sends", async () => {
    const { client } = await station();
    const { brought } = await client.bringProbe(
      bytes(current(certificate({ coefficients: coefficients("3.92812E-3") }))),
    );
    expect((await client.proposeKit({ brought })).approvable).toBe(false);
    await expect(client.approveKit({ brought, ...signed })).rejects.toMatchObject({
      status: 422,
      problem: { code: "identity.incomplete" },
    });
    expect((await client.kitEntry("pr-2207")).revisions).toHaveLength(1);
  });

  test("of an unknown probe asks for what is missing, and becomes a new entry", async () => {
    const { client } = await station();
    const { brought } = await client.bringProbe(bytes(current(certificate()).replace("PR-2207", "PR-3001")));
    expect(await client.proposeKit({ brought })).toMatchObject({ known: null, missing: [{ field: "driftPerYear" }] });
    const answers = { driftPerYear: 0.008 };
    expect(await client.approveKit({ brought, answers, ...signed })).toMatchObject({
      entry: { id: "pr-3001", revision: 1 },
    });
  });

  test("hostile and foreign files are answered with the one error shape", async () => {
    const { client, fetch } = await station();
    await expect(client.bringProbe(bytes('<!DOCTYPE x [<!ENTITY a "b">]><x>&a;</x>'))).rejects.toMatchObject({
      status: 422,
      problem: { code: "identity.refused" },
    });
    await expect(client.bringProbe(bytes("hello"))).rejects.toMatchObject({ problem: { code: "identity.unreadable" } });
    const large = await fetch(paths.kitBrought, {
      method: "POST",
      headers: { "content-type": "application/octet-stream" },
      body: new Uint8Array(17 * 1024 * 1024),
    });
    expect(large.status).toBe(413);
    await expect(client.proposeKit({ brought: "nothing" })).rejects.toMatchObject({ status: 404 });
    await expect(client.kitEntry("nobody")).rejects.toMatchObject({ status: 404 });
  });
});

describe("a data sheet and a label", () => {
  test("a data sheet said to be an entry is known by itself from then on; a label is read as a scanner types it", async () => {
    const { client } = await station();
    const teds = writeTeds({
      basic: { manufacturer: 51, model: 2207, versionLetter: "B", version: 3, serial: 90_117 },
      sections: [],
      text: "",
    });
    if (!teds.ok) throw new Error(teds.fault.message);
    const hex = Buffer.from(teds.value).toString("hex");
    const first = await client.bringProbe(bytes(hex));
    expect((await client.proposeKit({ brought: first.brought })).known).toBeNull();
    await client.approveKit({ brought: first.brought, is: "pr-2207", ...signed, reason: "data sheet read" });
    expect(await client.proposeKit({ brought: first.brought })).toMatchObject({
      knownBy: "data-sheet",
      unchanged: true,
    });
    const words = labelWords(reference() satisfies BroughtEntry);
    if (!words.ok) throw new Error(words.fault.message);
    const label = await client.bringProbe(bytes(`${words.value.code.toLowerCase()}\r\n`));
    expect(await client.proposeKit({ brought: label.brought })).toMatchObject({ known: { id: "pr-2207" } });
  });
});

describe("a job whose reference was calibrated anew", () => {
  test("is told, and takes the newest revision when somebody says so", async () => {
    const { client } = await station();
    const text = (await readFile(join(home, "examples/pt100-four-wire.yaml"), "utf8")).replace(
      /^rehearsal: true.*$/m,
      "rehearsal: false",
    );
    const { job } = await client.addJob(text);
    const { job: before } = await client.job(job);
    const { id, serial } = before.kit.reference;
    expect(await client.newerKit(job)).toEqual({ newer: [] });
    const { brought } = await client.bringProbe(bytes(current(certificate()).replace("PR-2207", serial)));
    await client.approveKit({ brought, ...signed });
    const { newer } = await client.newerKit(job);
    expect(newer).toMatchObject([{ kind: "reference", id, jobRevision: before.kit.reference.revision }]);
    expect(newer[0]?.words).toContain("was calibrated anew");
    expect(await client.takeKit(job, [id])).toEqual({ newer: [] });
    const { job: after } = await client.job(job);
    expect(after.kit.reference).toMatchObject({
      channel: before.kit.reference.channel,
      sensor: { r0: 100.0113 },
      calibration: { certificate: "NT-26-1180" },
    });
    await expect(client.takeKit(job, [id])).rejects.toMatchObject({ problem: { code: "input.invalid" } });
  });
});

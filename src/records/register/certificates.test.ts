import { createHash } from "node:crypto";
import Database from "better-sqlite3";
import { describe, expect, it } from "vitest";
import { openRecords, type NewCertificate } from "../index.ts";
import { sampleEvents, sampleOpening } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const pdf = Buffer.from("%PDF-1.7 invented");

const newCertificate = (
  make: NewCertificate["make"] = (sequence) => ({ number: `C-${sequence}`, pdf }),
): NewCertificate => ({
  run: "run-1",
  issued: "2026-11-20T12:00:00Z",
  authorisedBy: "Idris Farrowby (demo)",
  decision: "pass",
  make,
});

describe("certificates", () => {
  it("are numbered without a gap, whoever fails in between [R9]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.path);
    await records.openRunJournal(sampleOpening());
    const slow = newCertificate(async (sequence) => {
      await new Promise((resolve) => setTimeout(resolve, 20));
      return { number: `C-${sequence}`, pdf };
    });
    const failing = newCertificate(() => {
      throw new Error("the paper is out");
    });
    const taken = newCertificate(() => ({ number: "C-1", pdf }));
    const answers = await Promise.allSettled(
      [slow, failing, slow, taken, slow].map((each) => records.addCertificate(each)),
    );
    expect(
      answers.map((answer) =>
        answer.status === "fulfilled"
          ? `${answer.value.sequence} ${answer.value.number}`
          : (answer.reason as Error).message.slice(0, 34),
      ),
    ).toEqual(["1 C-1", "the paper is out", "2 C-2", "Certificate C-1 was issued already", "3 C-3"]);
    await expect(records.addCertificate({ ...newCertificate(), run: "run-2" })).rejects.toMatchObject({
      code: "records.not-found",
    });
    expect((await records.listCertificates()).certificates.map(({ number }) => number)).toEqual(["C-3", "C-2", "C-1"]);
    expect((await records.readRun("run-1")).certificate).toBe("C-3");
    await records.close();
  });

  it("say what they were issued on, and give their bytes back as they were [R9]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.path);
    await (await records.openRunJournal(sampleOpening())).append(sampleEvents());
    const xml = Buffer.from("<invented/>");
    const entry = await records.addCertificate(newCertificate(() => ({ number: "C-7", pdf, xml })));
    const check = await records.verifyChain("run-1");
    expect(entry).toMatchObject({
      number: "C-7",
      sequence: 1,
      run: "run-1",
      job: "CV-2611-001",
      decision: "pass",
      rehearsal: true,
      lines: 14,
      head: check.whole ? check.head : "broken",
    });
    expect(entry.files).toEqual({
      pdf: createHash("sha256").update(pdf).digest("hex"),
      xml: createHash("sha256").update(xml).digest("hex"),
    });
    expect(await records.readCertificate("C-7")).toEqual(entry);
    expect(Buffer.from(await records.certificateBytes("C-7", "pdf"))).toEqual(pdf);
    expect(Buffer.from(await records.certificateBytes("C-7", "xml"))).toEqual(xml);
    await records.addCertificate(newCertificate(() => ({ number: "C-8", pdf })));
    await expect(records.certificateBytes("C-8", "xml")).rejects.toMatchObject({
      code: "records.not-found",
      message: "Certificate C-8 has no XML.",
    });
    await expect(records.readCertificate("C-9")).rejects.toMatchObject({ code: "records.not-found" });
    await records.close();
  });

  it("whose bytes were changed are not given out [R9]", async () => {
    using folder = new ScratchFolder();
    const before = await openRecords(folder.path);
    await before.openRunJournal(sampleOpening());
    await before.addCertificate(newCertificate());
    await before.close();
    const database = new Database(folder.file("records.sqlite"));
    database.exec("DROP TRIGGER certificate_files_keep_update; UPDATE certificate_files SET bytes = x'25504446'");
    database.close();
    const after = await openRecords(folder.path);
    await expect(after.certificateBytes("C-1", "pdf")).rejects.toMatchObject({
      code: "records.damaged",
      message: expect.stringMatching(/changed since it was issued/),
    });
    await after.close();
  });

  it("are found by number, run, tag and name [R16]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.path);
    await records.openRunJournal(sampleOpening());
    await records.openRunJournal(sampleOpening("run-2", { title: "Kühlraum" }));
    await records.addCertificate(newCertificate());
    await records.addCertificate({ ...newCertificate(), run: "run-2" });
    const found = async (search: string) =>
      (await records.listCertificates({ search })).certificates.map(({ number }) => number);
    expect([await found("c-1"), await found("kuhl"), await found("tt-101 c-"), await found("KÜHL c-1")]).toEqual([
      ["C-1"],
      ["C-2"],
      ["C-2", "C-1"],
      [],
    ]);
    expect((await records.listCertificates({ run: "run-2" })).certificates.map(({ number }) => number)).toEqual([
      "C-2",
    ]);
    const page = await records.listCertificates({ limit: 1 });
    expect(
      (await records.listCertificates({ limit: 1, after: page.next ?? undefined })).certificates.map(
        ({ number }) => number,
      ),
    ).toEqual(["C-1"]);
    await records.close();
  });

  it("are amended by another, and withdrawn, once; both say by whom and why [R28]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.path);
    await records.openRunJournal(sampleOpening());
    const terms = { languages: ["en", "de"] };
    await records.addCertificate({ ...newCertificate(), terms });
    const amends = { number: "C-1", reason: "the address was wrong" };
    const second = await records.addCertificate({ ...newCertificate(), amends });
    expect(second).toMatchObject({ number: "C-2", amends, terms: null, replacedBy: null, withdrawn: null });
    expect(await records.readCertificate("C-1")).toMatchObject({ amends: null, terms, replacedBy: "C-2" });
    await expect(records.addCertificate({ ...newCertificate(), amends })).rejects.toMatchObject({
      code: "records.conflict",
      message: expect.stringMatching(/C-1 holds no longer: certificate C-2 stands in its place/),
    });
    const unknown = { ...amends, number: "C-9" };
    await expect(records.addCertificate({ ...newCertificate(), amends: unknown })).rejects.toMatchObject({
      code: "records.not-found",
    });
    const withdrawal = { at: "2026-11-21T09:00:00Z", by: "Idris Farrowby (demo)", reason: "the customer asked for it" };
    expect((await records.readRun("run-1")).certificate).toBe("C-2");
    await records.withdrawCertificate({ number: "C-2", ...withdrawal });
    expect((await records.readCertificate("C-2")).withdrawn).toEqual(withdrawal);
    await expect(records.withdrawCertificate({ number: "C-2", ...withdrawal })).rejects.toMatchObject({
      code: "records.conflict",
      message: expect.stringMatching(/withdrawn by Idris Farrowby/),
    });
    await expect(records.withdrawCertificate({ number: "C-1", ...withdrawal })).rejects.toMatchObject({
      code: "records.conflict",
    });
    expect((await records.listCertificates()).certificates.map(({ number }) => number)).toEqual(["C-2", "C-1"]);
    await records.close();
  });
});

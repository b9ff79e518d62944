import { createHash } from "node:crypto";
import { deflateSync } from "node:zlib";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { paths, StationRefusal } from "#contract";
import { exampleText, removeScratch } from "./program.test-support.ts";
import { startStation, untilView, type StartedStation } from "./station.test-support.ts";
import { textOfPdf } from "./text-of-pdf.test-support.ts";

let started: StartedStation;
let run: string;
beforeAll(async () => {
  started = await startStation();
  const { job } = await started.client.addJob(await exampleText("pt100-four-wire"));
  ({ run } = await started.client.startRun(job, { seed: 3 }));
  await started.client.command(run, { command: "start", by: "Tamsin Roke" });
  await untilView(started.client, run, ({ stage }) => stage === "ended");
}, 60_000);
afterAll(async () => {
  await started.stop();
  await removeScratch();
});

const codeOf = async (asked: Promise<unknown>): Promise<string> => {
  try {
    await asked;
  } catch (error) {
    if (error instanceof StationRefusal) return error.problem.code;
    throw error;
  }
  throw new Error("It was not refused.");
};
const bytesOf = async (path: string): Promise<Uint8Array> =>
  new Uint8Array(await (await started.fetch(path)).arrayBuffer());
const textOf = async (path: string): Promise<string> => textOfPdf(await bytesOf(path));
const sha256 = (bytes: Uint8Array): string => createHash("sha256").update(bytes).digest("hex");

/** A PNG of one dot, written here by its chunks (ISO/IEC 15948, from memory). */
const onePixel = (): Uint8Array<ArrayBuffer> => {
  const crcTable = Array.from({ length: 256 }, (_, n) => {
    let c = n;
    for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
    return c >>> 0;
  });
  const crc = (data: Uint8Array): number => {
    let c = 0xffffffff;
    for (const byte of data) c = crcTable[(c ^ byte) & 0xff]! ^ (c >>> 8);
    return (c ^ 0xffffffff) >>> 0;
  };
  const chunk = (name: string, data: Uint8Array): Buffer => {
    const body = Buffer.concat([Buffer.from(name, "latin1"), data]);
    const out = Buffer.alloc(body.length + 8);
    out.writeUInt32BE(data.length, 0);
    body.copy(out, 4);
    out.writeUInt32BE(crc(body), body.length + 4);
    return out;
  };
  const header = Buffer.from([0, 0, 0, 1, 0, 0, 0, 1, 8, 2, 0, 0, 0]);
  const data = deflateSync(Buffer.from([0, 11, 74, 114]));
  return new Uint8Array(
    Buffer.concat([
      Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
      chunk("IHDR", header),
      chunk("IDAT", data),
      chunk("IEND", new Uint8Array()),
    ]),
  );
};

describe("a certificate at the station", () => {
  it("is previewed, issued in two languages, amended and withdrawn; what was issued is kept to the byte", async () => {
    const { client } = started;
    expect(await textOf(paths.runPreview(run, ["fr"]))).toContain("Certificat d’étalonnage");
    expect((await started.fetch(`${paths.runPreview(run)}?languages=xx`)).status).toBe(400);

    const issued = await client.issue(run, { authorisedBy: "Idris Farrowby", languages: ["de", "en"] });
    expect(issued).toMatchObject({ languages: ["de", "en"], amends: null, replacedBy: null, withdrawn: null });
    const first = await bytesOf(paths.certificatePdf(issued.number));
    const text = await textOfPdf(first);
    expect(text).toContain("Kalibrierschein");
    expect(text).toContain("This is the English text of the same certificate. Where the languages differ, the German");

    const label = await textOf(paths.certificateLabel(issued.number, issued.items[0]!.item));
    expect(label).toContain("Kalibriert");
    expect(label).not.toContain("Nächste");

    const { texts } = await client.certificate(issued.number);
    const serial = texts.find(({ field }) => field === "item.serial")!;
    const amended = await client.amendCertificate(issued.number, {
      authorisedBy: "Idris Farrowby",
      reason: "The serial number was misread",
      corrections: [{ field: "item.serial", item: serial.item!, value: "PT-9002" }],
      interval: { due: "2099-11-25", agreedWith: "Maintenance office" },
    });
    expect(amended).toMatchObject({
      number: `${issued.number}-A1`,
      languages: ["de", "en"],
      amends: { number: issued.number, reason: "The serial number was misread" },
    });
    const amendedText = await textOf(paths.certificatePdf(amended.number));
    expect(amendedText).toContain(`Änderung zum Kalibrierschein ${issued.number}`);
    expect(amendedText).toContain(`${serial.value} PT-9002`);
    expect(await textOf(paths.certificateLabel(amended.number, serial.item!))).toContain("Nächste Kalibrierung");
    const xml = new TextDecoder().decode(await bytesOf(paths.certificateXml(amended.number)));
    expect(xml).toContain(`<dcc:replacedUniqueIdentifier>${issued.number}</dcc:replacedUniqueIdentifier>`);
    expect(xml).toContain(`<dcc:value>${sha256(await bytesOf(paths.certificateXml(issued.number)))}</dcc:value>`);

    // The replaced one says so, and is kept as it was.
    expect(await textOf(paths.certificatePdf(issued.number))).toContain(`durch Kalibrierschein ${amended.number}`);
    expect(sha256(await bytesOf(paths.certificateIssuedPdf(issued.number)))).toBe(sha256(first));
    expect(
      await codeOf(client.amendCertificate(issued.number, { authorisedBy: "X", reason: "again", corrections: [] })),
    ).toBe("records.conflict");
    expect((await started.fetch(paths.certificateLabel(issued.number, serial.item!))).status).toBe(409);

    const withdrawn = await client.withdrawCertificate(amended.number, { by: "Idris Farrowby", reason: "Wrong item" });
    expect(withdrawn.withdrawn).toMatchObject({ by: "Idris Farrowby", reason: "Wrong item" });
    expect(await textOf(paths.certificatePdf(amended.number))).toContain("Wrong item");
    expect(await codeOf(client.withdrawCertificate(amended.number, { by: "X", reason: "again" }))).toBe(
      "records.conflict",
    );
    expect((await client.certificates()).map(({ number }) => number)).toEqual([amended.number, issued.number]);
  });

  it("carries the laboratory's logo once one is kept, and refuses what is no picture", async () => {
    const { client } = started;
    expect(await client.laboratoryPictures()).toEqual({ logo: null, symbol: null });
    const bytes = onePixel();
    expect(await client.keepPicture("logo", bytes)).toEqual({
      logo: { type: "png", size: bytes.length },
      symbol: null,
    });
    const pdf = Buffer.from(await bytesOf(paths.runPreview(run))).toString("latin1");
    expect(pdf).toContain("/Subtype /Image");
    expect(await codeOf(client.keepPicture("logo", new TextEncoder().encode("<svg><script/></svg>")))).toBe(
      "input.invalid",
    );
    expect(await client.takePictureAway("logo")).toEqual({ logo: null, symbol: null });
  });
});

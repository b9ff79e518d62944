import { mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { evaluate, identifierSchema, parseLog } from "#calibration";
import {
  checkBeforeIssue,
  issueDay,
  itemLabel,
  renderCertificate,
  renderLabel,
  type IssueCheck,
  type IssueData,
  type RenderedCertificate,
} from "#certificates";
import { Fault } from "#fault";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { writeCheck } from "../run/check-file.ts";
import { progressForPeople, validatedAtFinish } from "../validation.ts";
import { readWords } from "../words.ts";
import { readPictures, readTerms, termOptions } from "./certify-terms.ts";

const help = `
dwellpoint certify LOG --out DIR [--number NUMBER] [--issued DATE] [--authorised-by NAME] [--languages de,en]
                   [--logo FILE] [--symbol FILE] [--due DATE --agreed-with NAME] [--without-remarks]
                   [--amends OLD.xml --reason TEXT [--correct FIELD=TEXT] …]

Evaluates a run log and writes its certificate: DIR/NUMBER.pdf (PDF/A-3 with the XML attached) and DIR/NUMBER.xml
(Digital Calibration Certificate 3.3.0), and a label for each item: DIR/NUMBER.ITEM.label.pdf. The same log and options give
the same bytes. The uncertainty of each
point is validated by Monte Carlo (JCGM 101, clause 8); DIR/RUN.check.json holds that and the check list.

  --out DIR              folder for the two files; made where it does not exist
  --number NUMBER        number of the certificate; the job's own where it is left out
  --issued DATE          day of issue, year-month-day; today (UTC) where it is left out
  --authorised-by NAME   who authorises; the job's authorisedBy where it is left out
  --languages LIST       en, de, es, fr, divided by commas; the first holds where they differ; en where it is left out
  --logo FILE            the laboratory's logo, PNG or SVG
  --symbol FILE          symbol of its accreditation, set only where every result lies within laboratory.capability of the job
  --due DATE             next calibration, only where the customer agreed to it: --agreed-with says who
  --without-remarks      leaves the job's remarks off the certificate
  --amends OLD.xml       the certificate that this one replaces, by its XML; --reason says why (ISO/IEC 17025, 7.8.8)
  --correct FIELD=TEXT   a text that is put right: customer.name=…, item.serial:ITEM=…; may be given several times

Prints {"number","issued","pdf","xml","labels","check":{"stops","warnings"},"checkFile"}. When the check before issue finds something that
forbids issue, nothing is written, the sentences are printed as an error, and the exit code is 1.
`;

const systemCode = (thrown: unknown): string =>
  thrown instanceof Error && "code" in thrown && typeof thrown.code === "string" ? thrown.code : "";

const readLogText = async (path: string): Promise<string> => {
  try {
    return await readFile(path, "utf8");
  } catch (thrown) {
    throw new Fault(
      "input.invalid",
      `The log ${path} cannot be read (${systemCode(thrown)}). Give the path of a run log.`,
      {
        data: { path },
        cause: thrown,
      },
    );
  }
};

/** Files that appear whole or not at all: written beside their place, then renamed into it. */
const writeWhole = async (path: string, content: Uint8Array | string): Promise<void> => {
  const unfinished = `${path}.part`;
  await writeFile(unfinished, content);
  await rename(unfinished, path);
};

/** Writes `NUMBER.pdf` and `NUMBER.xml` into a folder. @throws Fault `records.read-only` where the folder cannot be written */
export const writeCertificate = async (
  folder: string,
  { document, pdf, xml }: RenderedCertificate,
): Promise<{ pdf: string; xml: string }> => {
  const paths = { pdf: join(folder, `${document.number}.pdf`), xml: join(folder, `${document.number}.xml`) };
  try {
    await mkdir(folder, { recursive: true });
    await writeWhole(paths.pdf, pdf);
    await writeWhole(paths.xml, xml);
  } catch (thrown) {
    throw new Fault(
      "records.read-only",
      `The certificate cannot be written to ${folder} (${systemCode(thrown)}). Give --out a folder that you may write to and that has room.`,
      { data: { folder }, cause: thrown },
    );
  }
  return paths;
};

/** Writes a label for each item beside the certificate. */
const writeLabels = async (folder: string, { document }: RenderedCertificate): Promise<readonly string[]> =>
  Promise.all(
    document.items.map(async ({ item }) => {
      const path = join(folder, `${document.number}.${item}.label.pdf`);
      await writeWhole(path, renderLabel(itemLabel(document, item)));
      return path;
    }),
  );

/** @throws Fault `certificate.incomplete` with every sentence of the check, where a stop forbids issue */
export const refuseStops = ({ stops, warnings }: IssueCheck): void => {
  if (stops.length === 0) return;
  const sentences = stops.map(({ message }) => message).join(" ");
  throw new Fault("certificate.incomplete", `The certificate cannot be issued. ${sentences}`, {
    data: { stops, warnings },
  });
};

const numberOption = (word: string | undefined): Pick<IssueData, "number"> => {
  if (word === undefined) return {};
  if (identifierSchema.safeParse(word).success) return { number: word };
  throw new Fault(
    "usage.wrong",
    `--number wants letters, digits, '.', '_' and '-', 64 at most, not "${word}". It names the files too.`,
  );
};

const run = async (words: readonly string[], { stdout, stderr, signal }: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("certify", words, {
    out: { type: "string" },
    number: { type: "string" },
    issued: { type: "string" },
    "authorised-by": { type: "string" },
    ...termOptions,
  });
  const [path, ...more] = positionals;
  if (path === undefined || more.length > 0) {
    throw new Fault("usage.wrong", "certify wants one run log. dwellpoint certify --help tells what it takes.");
  }
  if (values.out === undefined)
    throw new Fault("usage.wrong", "certify wants --out DIR, the folder for the certificate.");
  const log = parseLog((await readLogText(path)).split("\n"));
  const result = evaluate(log);
  const name = values["authorised-by"];
  const issued: IssueData = {
    ...(await readTerms(values)),
    ...numberOption(values.number),
    ...(name === undefined ? {} : { authorisedBy: name }),
    date: values.issued ?? issueDay(log, result, new Date().toISOString().slice(0, 10)),
  };
  // What forbids issue anyway is said at once, without the wait for the validation.
  refuseStops(checkBeforeIssue({ log, result, issued }));
  const pictures = await readPictures(values);
  const validation = await validatedAtFinish(log, result, { signal, ...progressForPeople(stderr) });
  const rendered = renderCertificate({ log, result, issued, validation, pictures });
  refuseStops(rendered.check);
  const paths = await writeCertificate(values.out, rendered);
  const labels = await writeLabels(values.out, rendered);
  const { number, dates } = rendered.document;
  const { check } = rendered;
  const checkFile = await writeCheck(values.out, { run: result.run, certificate: number, check, validation });
  stdout.write(`${JSON.stringify({ number, issued: dates.issued, ...paths, labels, check, checkFile })}\n`);
  return 0;
};

export const certify: Command = { name: "certify", summary: "a run log to its certificate, PDF and XML", help, run };

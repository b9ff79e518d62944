import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import {
  correctedFields,
  languages,
  pictureFile,
  verifyCertificate,
  type Amends,
  type CertificateTerms,
  type Correction,
  type LaboratoryPictures,
  type Language,
  type PictureFile,
} from "#certificates";
import { Fault, unwrap } from "#fault";

/** The options of `certify` that say on which terms a certificate is made. */
export const termOptions = {
  languages: { type: "string" },
  logo: { type: "string" },
  symbol: { type: "string" },
  due: { type: "string" },
  "agreed-with": { type: "string" },
  "without-remarks": { type: "boolean" },
  amends: { type: "string" },
  reason: { type: "string" },
  correct: { type: "string", multiple: true },
} as const;

export interface TermWords {
  readonly languages?: string | undefined;
  readonly logo?: string | undefined;
  readonly symbol?: string | undefined;
  readonly due?: string | undefined;
  readonly "agreed-with"?: string | undefined;
  readonly "without-remarks"?: boolean | undefined;
  readonly amends?: string | undefined;
  readonly reason?: string | undefined;
  readonly correct?: readonly string[] | undefined;
}

const wrong = (message: string): never => {
  throw new Fault("usage.wrong", `${message} dwellpoint certify --help tells what it takes.`);
};

const readBytes = async (option: string, path: string): Promise<Uint8Array> => {
  try {
    return await readFile(path);
  } catch (cause) {
    throw new Fault("input.invalid", `The file ${path} of --${option} cannot be read.`, { data: { path }, cause });
  }
};

const readPicture = async (option: "logo" | "symbol", path: string | undefined): Promise<PictureFile | undefined> =>
  path === undefined ? undefined : unwrap(pictureFile(await readBytes(option, path)));

/** Pictures of the laboratory's own. @throws Fault `input.invalid` where one is none that a certificate may carry */
export const readPictures = async ({ logo, symbol }: TermWords): Promise<LaboratoryPictures> => ({
  logo: await readPicture("logo", logo),
  symbol: await readPicture("symbol", symbol),
});

const isLanguage = (word: string): word is Language => languages.some((language) => language === word);

const readLanguages = (words: string | undefined): readonly Language[] | undefined => {
  if (words === undefined) return undefined;
  const chosen = words.split(",").map((word) => word.trim());
  const known = chosen.filter(isLanguage);
  return known.length === chosen.length
    ? known
    : wrong(`--languages wants ${languages.join(", ")}, divided by commas, not "${words}".`);
};

/** `item.serial:te-1=HX-2` or `customer.name=…`; `\n` divides the lines of an address. */
const readCorrection = (word: string): Correction => {
  const [, name = "", item, value = ""] = /^([a-z.]+)(?::([A-Za-z0-9._-]+))?=([\s\S]*)$/.exec(word) ?? [];
  const field = correctedFields.find((each) => each === name);
  if (field === undefined || field.startsWith("item.") !== (item !== undefined))
    return wrong(
      `--correct wants FIELD=TEXT or item.FIELD:ITEM=TEXT with a field of ${correctedFields.join(", ")}, not "${word}".`,
    );
  return { field, ...(item === undefined ? {} : { item }), value: value.replaceAll("\\n", "\n") };
};

const readAmends = async ({ amends, reason }: TermWords): Promise<Amends | undefined> => {
  if (amends === undefined) return reason === undefined ? undefined : wrong("--reason belongs to --amends.");
  if (reason === undefined) return wrong("--amends wants --reason: why the certificate is replaced.");
  const bytes = await readBytes("amends", amends);
  const { certificate, findings } = verifyCertificate({ xml: new TextDecoder().decode(bytes) });
  if (certificate === null)
    throw new Fault("input.invalid", `${amends} is not the XML of a certificate. ${findings[0]?.words ?? ""}`);
  return {
    number: certificate.number,
    date: certificate.issued,
    reason,
    sha256: createHash("sha256").update(bytes).digest("hex"),
    authorisedBy: certificate.authorisedBy,
  };
};

/** On which terms a certificate is made, as the words of the command line have it. */
export const readTerms = async (words: TermWords): Promise<CertificateTerms & { readonly amends?: Amends }> => {
  const { due, "agreed-with": agreedWith } = words;
  if ((due === undefined) !== (agreedWith === undefined)) wrong("--due and --agreed-with belong together.");
  const chosen = readLanguages(words.languages);
  const amends = await readAmends(words);
  const corrections = (words.correct ?? []).map(readCorrection);
  return {
    ...(chosen === undefined ? {} : { languages: chosen }),
    ...(due === undefined || agreedWith === undefined ? {} : { interval: { due, agreedWith } }),
    ...(words["without-remarks"] === true ? { withoutRemarks: true } : {}),
    ...(corrections.length === 0 ? {} : { corrections }),
    ...(amends === undefined
      ? {}
      : { amends: { ...amends, terms: chosen === undefined ? {} : { languages: chosen } } }),
  };
};

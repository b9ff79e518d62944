import { mkdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { renderLabel } from "#certificates";
import { Fault, unwrap } from "#fault";
import {
  labelWords,
  propose,
  readIdentity,
  type Answers,
  type Brought,
  type BroughtEntry,
  type Proposal,
} from "#intake";
import { openRecords, type KitEntry, type KitRevision, type Records } from "#records";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { kitText } from "../kit/kit-text.ts";
import { chooseDataFolder } from "../serve/data-folder.ts";
import { readNumber, readWords } from "../words.ts";

const help = `
dwellpoint kit read FILE [--data DIR] [--json] …    what a probe's data sheet, certificate or label says, checked
dwellpoint kit list [--data DIR] [--json]           the newest revision of every kit entry, with its due day
dwellpoint kit label ENTRY… --out DIR [--data DIR]  labels as PDF, with a code that carries identity and coefficients

FILE is told by its content, not by its name; - is standard input, for a scanner that types:
  a TEDS image (IEEE 1451.4), as bytes, in hexadecimal or base 64
  a Digital Calibration Certificate of version 3 in XML
  the text of a label's code (DWP1…)

read compares with the kit in the records and prints what was understood, what was checked, and what a revision would change.
  --item N             item of a certificate with several; 1 where it is left out
  --entry ID           the kit entry that it is; found by data sheet or serial number where it is left out
  --new                a new entry, whatever is known
  --check-sums yes|no  whether a TEDS image has check sums; judged by its length where it is left out
  --today DATE         the day for the validity, year-month-day; today (UTC) where it is left out
  --id, --description, --serial, --certificate, --laboratory, --date, --due, --uncertainty, --k, --minimum, --maximum, --drift
                       what was not brought (uncertainty and drift in K, minimum and maximum in °C)
  --approve --author NAME --reason WORDS
                       record it as the entry's next revision, where every check allows it

--data is the records' folder; DWELLPOINT_DATA, or the user's own, where it is left out. A station on it must be stopped meanwhile.
--json prints {"brought","proposal","revision"?} of read, a line an entry of list.
Exit 0 when it can be approved or says nothing new, 1 when it cannot, 2 wrong usage.
`;

const options = {
  data: { type: "string" },
  out: { type: "string" },
  json: { type: "boolean" },
  item: { type: "string" },
  entry: { type: "string" },
  new: { type: "boolean" },
  "check-sums": { type: "string" },
  today: { type: "string" },
  id: { type: "string" },
  description: { type: "string" },
  serial: { type: "string" },
  certificate: { type: "string" },
  laboratory: { type: "string" },
  date: { type: "string" },
  due: { type: "string" },
  uncertainty: { type: "string" },
  k: { type: "string" },
  minimum: { type: "string" },
  maximum: { type: "string" },
  drift: { type: "string" },
  approve: { type: "boolean" },
  author: { type: "string" },
  reason: { type: "string" },
} as const;

type Values = ReturnType<typeof readWords<typeof options>>["values"];

const readAll = async (stdin: Surroundings["stdin"]): Promise<Uint8Array> => {
  const chunks: Buffer[] = [];
  let length = 0;
  for await (const chunk of stdin as AsyncIterable<Buffer | string>) {
    const bytes = typeof chunk === "string" ? Buffer.from(chunk) : chunk;
    length += bytes.length;
    if (length > 64_000_000) break;
    chunks.push(bytes);
  }
  return Buffer.concat(chunks);
};

const readBytes = async (file: string, stdin: Surroundings["stdin"]): Promise<Uint8Array> => {
  if (file === "-") return readAll(stdin);
  try {
    return await readFile(file);
  } catch (cause) {
    throw new Fault("input.invalid", `The file ${file} cannot be read. Give the path of what the probe brought.`, {
      cause,
    });
  }
};

const temperature = { least: -273.15, most: 5000 } as const;

const answersOf = (values: Values): Answers => {
  const { id, description, serial, certificate, laboratory, date, due } = values;
  const words = Object.entries({ id, description, serial, certificate, laboratory, date, due });
  const number = (
    name: string,
    word: string | undefined,
    limits: { least: number; most: number },
  ): [string, number][] => (word === undefined ? [] : [[name, readNumber(name, word, limits)]]);
  return Object.fromEntries([
    ...words.filter(([, word]) => word !== undefined),
    ...number("uncertainty", values.uncertainty, { least: 0, most: 50 }),
    ...number("k", values.k, { least: 1, most: 5 }),
    ...number("minimum", values.minimum, temperature),
    ...number("maximum", values.maximum, temperature),
    ...number("drift", values.drift, { least: 0, most: 50 }).map(([, drift]): [string, number] => [
      "driftPerYear",
      drift,
    ]),
  ]);
};

const day = (word: string | undefined): string => {
  if (word === undefined) return new Date().toISOString().slice(0, 10);
  if (!/^\d{4}-\d{2}-\d{2}$/.test(word))
    throw new Fault("usage.wrong", `--today wants a day as year-month-day, not "${word}".`);
  return word;
};

const checkSums = (word: string | undefined): { checkSums?: boolean } => {
  if (word === undefined) return {};
  if (word !== "yes" && word !== "no") throw new Fault("usage.wrong", `--check-sums wants yes or no, not "${word}".`);
  return { checkSums: word === "yes" };
};

/** The newest of every entry; the records list each entry's newest first. */
const newest = (entries: readonly KitEntry[]): KitEntry[] =>
  entries.filter(({ entry }, index) => index === 0 || entries[index - 1]!.entry.id !== entry.id);

const withRecords = async <T>(
  values: Values,
  { environment, home }: Surroundings,
  act: (records: Records) => Promise<T>,
): Promise<T> => {
  const records = await openRecords(chooseDataFolder({ word: values.data, demo: false, environment, home }));
  try {
    return await act(records);
  } finally {
    await records.close();
  }
};

const approve = async (
  records: Records,
  { entry, approvable, unchanged }: Proposal,
  values: Values,
): Promise<number | undefined> => {
  if (values.approve !== true || unchanged) return undefined;
  const { author, reason } = values;
  if (author === undefined || reason === undefined)
    throw new Fault("usage.wrong", "--approve wants --author and --reason: a revision says who made it, and why.");
  if (entry === null || !approvable)
    throw new Fault(
      "identity.incomplete",
      "It cannot be approved like this: something is missing, or a check does not hold.",
    );
  return records.reviseKit({ kind: entry.kind, entry: entry.entry, author, reason } as KitRevision);
};

const chosen = (brought: readonly Brought[], word: string | undefined): Brought => {
  const item = word === undefined ? 1 : readNumber("item", word, { least: 1, most: brought.length, whole: true });
  return brought[item - 1]!;
};

const read = async (file: string, values: Values, surroundings: Surroundings): Promise<ExitCode> => {
  const brought = chosen(
    unwrap(readIdentity(await readBytes(file, surroundings.stdin), checkSums(values["check-sums"]))),
    values.item,
  );
  const answers = answersOf(values);
  const today = day(values.today);
  const is = values.new === true ? { is: null } : values.entry === undefined ? {} : { is: values.entry };
  const judged = async (records: Records | null): Promise<{ proposal: Proposal; revision: number | undefined }> => {
    const entries: readonly BroughtEntry[] = records === null ? [] : newest(await records.listKit());
    const proposal = propose({ brought, entries, today, answers, ...is });
    return { proposal, revision: records === null ? undefined : await approve(records, proposal, values) };
  };
  const wantsRecords =
    values.data !== undefined || values.approve === true || surroundings.environment["DWELLPOINT_DATA"] !== undefined;
  const { proposal, revision } = wantsRecords ? await withRecords(values, surroundings, judged) : await judged(null);
  const more = revision === undefined ? {} : { revision };
  if (values.json === true) surroundings.stdout.write(`${JSON.stringify({ brought, proposal, ...more })}\n`);
  else
    surroundings.stdout.write(
      kitText(brought, proposal) +
        (revision === undefined ? "" : `Recorded as revision ${revision} of ${proposal.entry!.entry.id}.\n`),
    );
  return proposal.approvable || proposal.unchanged ? 0 : 1;
};

const list = (values: Values, surroundings: Surroundings): Promise<ExitCode> =>
  withRecords<ExitCode>(values, surroundings, async (records) => {
    for (const { kind, entry, saved } of newest(await records.listKit())) {
      const due = "calibration" in entry ? entry.calibration.due : null;
      surroundings.stdout.write(
        values.json === true
          ? `${JSON.stringify({ kind, id: entry.id, revision: entry.revision, description: entry.description, serial: entry.serial, due, saved, entry })}\n`
          : `${kind.padEnd(9)}  ${entry.id.padEnd(20)}  revision ${String(entry.revision).padEnd(3)}  ${due === null ? "no due day    " : `due ${due}`}  ${entry.serial}  ${entry.description}\n`,
      );
    }
    return 0;
  });

const label = (names: readonly string[], values: Values, surroundings: Surroundings): Promise<ExitCode> =>
  withRecords<ExitCode>(values, surroundings, async (records) => {
    const folder = values.out ?? ".";
    await mkdir(folder, { recursive: true });
    for (const name of names) {
      const [entry] = await records.listKit(name);
      if (entry === undefined)
        throw new Fault("records.not-found", `The kit has no entry "${name}". dwellpoint kit list shows all.`);
      const words = unwrap(labelWords({ kind: entry.kind, entry: entry.entry } as BroughtEntry));
      const path = join(folder, `${name}-${entry.entry.revision}.pdf`);
      await writeFile(path, renderLabel(words));
      surroundings.stdout.write(
        `${JSON.stringify({ entry: name, revision: entry.entry.revision, signs: words.code.length, pdf: path })}\n`,
      );
    }
    return 0;
  });

export const kit: Command = {
  name: "kit",
  summary: "a probe's data sheet, certificate or label read and checked; labels printed; the kit listed",
  help,
  run: async (words, surroundings) => {
    const { values, positionals } = readWords("kit", words, options);
    const [what, ...names] = positionals;
    if (what === "read" && names.length === 1) return read(names[0]!, values, surroundings);
    if (what === "list" && names.length === 0) return list(values, surroundings);
    if (what === "label" && names.length > 0) return label(names, values, surroundings);
    throw new Fault("usage.wrong", "kit takes read FILE, list, or label ENTRY…. dwellpoint kit --help tells more.");
  },
};

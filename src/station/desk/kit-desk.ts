import { createHash } from "node:crypto";
import { checkReference, jobSchema, type Job } from "#calibration";
import { renderLabel } from "#certificates";
import type {
  Approval,
  BroughtAnswer,
  KitAnswer,
  KitDetail,
  NewerKit,
  PluggedAnswer,
  ProposalAnswer,
  ProposalQuestion,
} from "#contract";
import { Fault, unwrap } from "#fault";
import {
  differencesBetween,
  effectsBetween,
  labelWords,
  matchingEntry,
  propose,
  readIdentity,
  type Answers,
  type Brought,
  type BroughtEntry,
  type Difference,
  type Proposal,
} from "#intake";
import type { KitRevision, Records } from "#records";
import { fileName } from "../http/downloads.ts";
import type { Download } from "../routes/desk.ts";
import { asEntry, newestEntries } from "./newest-entries.ts";
import type { PluggedDesk } from "./plugged-desk.ts";
import { coefficientTexts, entryFacts, shownBrought, shownEntry, uncertaintyOver } from "./kit-shown.ts";

/** What was brought is held from one question to the next; the oldest is let go, and the page sends it again. */
const mostHeld = 10;
const kinds = ["reference", "readout", "source"] as const;

const nobody = { serial: null, manufacturer: null, model: null, description: null, dataSheet: null, further: [] };

const withoutUndefined = (answers: object): Answers =>
  Object.fromEntries(Object.entries(answers).filter(([, value]) => value !== undefined));

const shownDifferences = (differences: readonly Difference[]) =>
  differences.map(({ path, before, after, from }) => ({ path, before, after, from }));

const dateOf = ({ entry }: BroughtEntry): string => ("calibration" in entry ? entry.calibration.date : "");

/** The kit of a job as entries of the records are, without its wiring. */
const kitOf = ({ kit }: Job): readonly BroughtEntry[] =>
  kinds.map((kind) => {
    const { channel: _, ...entry } = { channel: "", ...kit[kind] };
    return { kind, entry } as BroughtEntry;
  });

/** The kit: what is recorded of it, what a probe brings, and which jobs go on with an older revision. */
export class KitDesk {
  readonly #records: Records;
  readonly #now: () => Date;
  readonly #plugged: PluggedDesk;
  readonly #held = new Map<string, readonly Brought[]>();

  constructor(records: Records, now: () => Date, plugged: PluggedDesk) {
    this.#records = records;
    this.#now = now;
    this.#plugged = plugged;
  }

  async kit(): Promise<KitAnswer> {
    const today = this.#today();
    return {
      today,
      entries: (await this.#newest()).map((entry) => shownEntry(entry, today)),
      readouts: (await this.#plugged.readouts()).map(({ name, at }) => ({ name, at })),
    };
  }

  async entry(id: string): Promise<KitDetail> {
    const all = await this.#records.listKit(id);
    const [newest] = all;
    if (newest === undefined)
      throw new Fault("records.not-found", `The kit has no entry ${id}. The list of the kit shows all.`);
    const entry = asEntry(newest);
    const check = entry.kind === "reference" ? checkReference({ ...entry.entry, channel: "reference" }) : null;
    return {
      entry: shownEntry(entry, this.#today()),
      facts: entryFacts(entry),
      coefficients: coefficientTexts(entry.kind === "reference" ? entry.entry.sensor : null),
      uncertainty: uncertaintyOver(entry),
      k: entry.kind === "reference" ? entry.entry.calibration.k : null,
      check: check === null ? null : { holds: check.agrees, words: check.words },
      revisions: all.map((revision, index) => {
        const [now, before] = [asEntry(revision), all[index + 1]];
        const calibration = "calibration" in now.entry ? now.entry.calibration : null;
        return {
          revision: now.entry.revision,
          saved: revision.saved,
          author: revision.author,
          reason: revision.reason,
          certificate: calibration?.certificate ?? null,
          calibrated: calibration?.date ?? null,
          due: calibration?.due ?? null,
          differences: before === undefined ? [] : shownDifferences(differencesBetween(asEntry(before), now)),
          effects: before === undefined ? [] : [...effectsBetween(asEntry(before), now)],
        };
      }),
    };
  }

  async label(id: string): Promise<Download> {
    const [newest] = await this.#records.listKit(id);
    if (newest === undefined)
      throw new Fault("records.not-found", `The kit has no entry ${id}. The list of the kit shows all.`);
    return {
      bytes: renderLabel(unwrap(labelWords(asEntry(newest)))),
      name: fileName(`${id}-${newest.entry.revision}`, "pdf"),
    };
  }

  /** Reads what was brought. Throws what the file is, where it cannot be read. */
  bring(bytes: Uint8Array): BroughtAnswer {
    const read = unwrap(readIdentity(bytes));
    return { brought: this.#hold(bytes, read), items: read.map(shownBrought) };
  }

  /** What is plugged into a kept readout: known entries by their names; a data sheet is held as if it had been brought. */
  async plugged(name: string): Promise<PluggedAnswer> {
    const entries = await this.#newest();
    return {
      inputs: (await this.#plugged.inputs(name)).map(({ input, probe, why }) => {
        if (probe === null || probe.kind === "none") return { input, said: null, known: null, brought: null, why };
        if (probe.kind === "serial") {
          const identity = { ...nobody, serial: probe.serial };
          const known = matchingEntry({ identity, entry: null }, entries)?.entry.entry.id ?? null;
          return { input, said: `serial number ${probe.serial}`, known, brought: null, why };
        }
        const read = readIdentity(probe.bytes);
        if (!read.ok) return { input, said: null, known: null, brought: null, why: read.fault.message };
        const [first] = read.value as [Brought];
        const known = matchingEntry(first, entries)?.entry.entry.id ?? null;
        return {
          input,
          said: `data sheet ${first.identity.dataSheet}`,
          known,
          brought: { brought: this.#hold(probe.bytes, read.value), items: read.value.map(shownBrought) },
          why,
        };
      }),
    };
  }

  #hold(bytes: Uint8Array, read: readonly Brought[]): string {
    const brought = createHash("sha256").update(bytes).digest("hex").slice(0, 16);
    this.#held.delete(brought);
    this.#held.set(brought, read);
    const [oldest] = this.#held.keys();
    if (this.#held.size > mostHeld && oldest !== undefined) this.#held.delete(oldest);
    return brought;
  }

  async propose(question: ProposalQuestion): Promise<ProposalAnswer> {
    const entries = await this.#newest();
    const {
      entry: _,
      known,
      by,
      differences,
      effects,
      missing,
      checks,
      notes,
      ...rest
    } = this.#proposal(question, entries);
    return {
      ...rest,
      known:
        known === null
          ? null
          : {
              id: known.entry.id,
              revision: known.entry.revision,
              kind: known.kind,
              description: known.entry.description,
            },
      knownBy: by,
      candidates: entries.map(({ kind, entry }) => ({
        id: entry.id,
        kind,
        description: entry.description,
        serial: entry.serial,
      })),
      missing: [...missing],
      checks: [...checks],
      differences: shownDifferences(differences),
      effects: [...effects],
      notes: [...notes],
    };
  }

  /** Records what was proposed as the entry's next revision. Throws `identity.incomplete` where a check forbids it. */
  async approve({ author, reason, ...question }: Approval): Promise<KitDetail> {
    const { entry, approvable, missing, checks } = this.#proposal(question, await this.#newest());
    if (entry === null || !approvable) {
      const why = [
        ...missing.map(({ words }) => `Missing: ${words}.`),
        ...checks.filter(({ state }) => state === "fails").map(({ words }) => words),
      ];
      throw new Fault("identity.incomplete", `It cannot be approved like this. ${why.join(" ")}`.trim());
    }
    await this.#records.reviseKit({ kind: entry.kind, entry: entry.entry, author, reason } as KitRevision);
    return this.entry(entry.entry.id);
  }

  /** Entries of a job's kit of which the records have a newer calibration or revision, with other figures. */
  async newer(name: string): Promise<NewerKit> {
    const { job } = await this.#records.readJob(name);
    return { newer: await this.#newerOf(job) };
  }

  /** Takes the newest revisions of these entries into a job, as a new revision of the job. */
  async take(name: string, ids: readonly string[]): Promise<NewerKit> {
    const { job, revision } = await this.#records.readJob(name);
    const found = (await this.#newerOf(job)).filter(({ id }) => ids.includes(id));
    if (found.length === 0)
      throw new Fault("input.invalid", "The records have nothing newer for this job. Load the page again.");
    const kit: Record<string, unknown> = { ...job.kit };
    for (const { kind, id } of found) {
      const [newest] = await this.#records.listKit(id);
      kit[kind] = kind === "reference" ? { ...newest!.entry, channel: job.kit.reference.channel } : newest!.entry;
    }
    const changed = jobSchema.parse({ ...job, kit });
    const names = found.map(({ id, revision }) => `${id} revision ${revision}`).join(", ");
    await this.#records.saveJob(changed, { expected: revision, reason: `takes ${names}` });
    return this.newer(name);
  }

  async #newerOf(job: Job): Promise<NewerKit["newer"]> {
    const newest = await this.#newest();
    return kitOf(job).flatMap((used) => {
      const recorded = newest.find(({ kind, entry }) => kind === used.kind && entry.id === used.entry.id);
      if (recorded === undefined) return [];
      const differences = differencesBetween(used, recorded);
      const isNewer = recorded.entry.revision > used.entry.revision || dateOf(recorded) > dateOf(used);
      if (differences.length === 0 || !isNewer) return [];
      return [
        {
          kind: used.kind,
          id: used.entry.id,
          jobRevision: used.entry.revision,
          revision: recorded.entry.revision,
          words: newerWords(used, recorded, differences.length),
          differences: shownDifferences(differences),
        },
      ];
    });
  }

  #proposal({ brought, item = 0, answers = {}, is }: ProposalQuestion, entries: readonly BroughtEntry[]): Proposal {
    const held = this.#held.get(brought)?.[item];
    if (held === undefined)
      throw new Fault("records.not-found", "The station no longer holds what was brought. Bring it again.");
    return propose({
      brought: held,
      entries,
      today: this.#today(),
      answers: withoutUndefined(answers),
      ...(is === undefined ? {} : { is }),
    });
  }

  async #newest(): Promise<readonly BroughtEntry[]> {
    return newestEntries(await this.#records.listKit());
  }

  #today(): string {
    return this.#now().toISOString().slice(0, 10);
  }
}

const newerWords = (used: BroughtEntry, recorded: BroughtEntry, count: number): string => {
  const figures = `${count} figure${count === 1 ? " is" : "s are"} other`;
  const [now, was] = [recorded.entry, used.entry];
  return "calibration" in now && "calibration" in was && now.calibration.certificate !== was.calibration.certificate
    ? `${was.id} was calibrated anew on ${now.calibration.date} (certificate ${now.calibration.certificate}); the job has certificate ${was.calibration.certificate} of ${was.calibration.date}. ${figures}.`
    : `${was.id} was revised: the records have revision ${now.revision}, the job has revision ${was.revision}. ${figures}.`;
};

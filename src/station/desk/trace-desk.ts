import type { Readout, Reference } from "#calibration";
import type { Suspect, TraceState } from "#contract";
import { Fault, faultValue } from "#fault";
import type { Workforce } from "#parallel";
import type { Records, UsedKit } from "#records";
import { traceCsv, type Suspicion, type Trace } from "#traceback";
import { fileName } from "../http/downloads.ts";
import type { Download } from "../routes/desk.ts";
import { traceRecords } from "./trace-records.ts";

interface Entry {
  readonly stop: AbortController;
  state: TraceState;
}

/** Older ones are forgotten: a trace that matters is kept in the records. */
const mostKept = 20;

type Described =
  | { readonly kind: "reference"; readonly entry: Reference }
  | { readonly kind: "readout"; readonly entry: Readout };

const unitsOf = (known: Described): string[] =>
  known.kind === "readout" ? [...new Set(known.entry.accuracy.map(({ unit }) => unit))] : ["K"];

const hasCoefficients = (known: Described): boolean =>
  known.kind === "reference" && (known.entry.sensor.kind === "platinum" || known.entry.sensor.kind === "thermistor");

const revisionOf = (known: Described): Suspect["revisions"][number] => ({
  revision: known.entry.revision,
  calibrated: known.entry.calibration.date,
  certificate: known.entry.calibration.certificate,
  coefficients: hasCoefficients(known),
});

/** References and readouts that were found out: what may be suspected, and the traces that were asked for. */
export class TraceDesk {
  readonly #records: Records;
  readonly #force: Workforce;
  readonly #now: () => Date;
  readonly #entries = new Map<string, Entry>();
  #last = 0;

  constructor(records: Records, force: Workforce, now: () => Date) {
    this.#records = records;
    this.#force = force;
    this.#now = now;
  }

  async suspects(): Promise<Suspect[]> {
    const suspects = new Map<string, Suspect>();
    for (const used of await this.#records.usedKit()) {
      const known = await this.#asUsed(used);
      if (known === undefined) continue;
      const key = `${used.kind}/${used.entry}/${used.serial}`;
      const before = suspects.get(key);
      suspects.set(key, {
        kind: known.kind,
        entry: used.entry,
        serial: used.serial,
        description: before?.description ?? known.entry.description,
        units: before?.units ?? unitsOf(known),
        revisions: [...(before?.revisions ?? []), revisionOf(known)],
        runs: (before?.runs ?? 0) + used.runs,
      });
    }
    // A revision that no run has used yet may be the one that puts it right.
    for (const known of await this.#records.listKit()) {
      if (known.kind === "source") continue;
      const suspect = suspects.get(`${known.kind}/${known.entry.id}/${known.entry.serial}`);
      if (suspect === undefined || suspect.revisions.some(({ revision }) => revision === known.entry.revision))
        continue;
      suspects.set(`${known.kind}/${known.entry.id}/${known.entry.serial}`, {
        ...suspect,
        revisions: [...suspect.revisions, revisionOf(known as Described)].toSorted((a, b) => b.revision - a.revision),
      });
    }
    return [...suspects.values()].toSorted((a, b) => b.runs - a.runs);
  }

  /** The sensor of one revision of a reference, for a suspicion that another one was mistyped. */
  async sensor(entry: string, revision: number): Promise<Reference["sensor"]> {
    for (const recorded of await this.#records.listKit(entry))
      if (recorded.kind === "reference" && recorded.entry.revision === revision) return recorded.entry.sensor;
    const used = (await this.#records.usedKit()).find(
      (each) => each.kind === "reference" && each.entry === entry && each.revision === revision,
    );
    const known = used === undefined ? undefined : await this.#asUsed(used);
    if (known?.kind === "reference") return known.entry.sensor;
    throw new Fault("records.not-found", `The records know no revision ${revision} of a reference ${entry}.`, {
      data: { entry, revision },
    });
  }

  begin(suspicion: Suspicion, rehearsals: boolean): TraceState {
    this.#last += 1;
    const trace = `trace-${this.#last}`;
    const entry: Entry = {
      stop: new AbortController(),
      state: { trace, state: "running", generation: 0, done: 0, of: 0, why: null, found: null, kept: null },
    };
    this.#entries.set(trace, entry);
    this.#forget();
    void this.#follow(entry, suspicion, rehearsals);
    return entry.state;
  }

  state(trace: string): TraceState {
    return this.#entry(trace).state;
  }

  cancel(trace: string): TraceState {
    const entry = this.#entry(trace);
    entry.stop.abort();
    return entry.state;
  }

  list(trace: string): Download {
    return { bytes: Buffer.from(traceCsv(this.#found(trace)), "utf8"), name: fileName(trace, "csv") };
  }

  /** Writes what was found into the records, as a finding of the suspect; once. */
  async keep(trace: string, by: string): Promise<TraceState> {
    const entry = this.#entry(trace);
    const found = this.#found(trace);
    if (entry.state.kept !== null) return entry.state;
    const { kit } = found.suspicion;
    const kept = await this.#records.keepFinding({
      entry: kit.entry ?? kit.serial,
      kind: "traceback",
      at: this.#now().toISOString(),
      author: by,
      document: found,
    });
    entry.state = { ...entry.state, kept };
    return entry.state;
  }

  /** Stops what is under way. */
  close(): void {
    for (const { stop } of this.#entries.values()) stop.abort();
  }

  /** A kit entry as the newest run that used it has it; undefined for a source. */
  async #asUsed({ kind, entry, revision, newestRun }: UsedKit): Promise<Described | undefined> {
    if (kind === "source") return undefined;
    for await (const page of this.#records.logPages(newestRun)) {
      for (const event of page) {
        const kit = event.kind === "run-opened" ? event.job.kit : event.kind === "kit-replaced" ? event : undefined;
        const found = kit?.[kind];
        if (found?.id === entry && found.revision === revision) return { kind, entry: found } as Described;
      }
    }
    return undefined;
  }

  async #follow(entry: Entry, suspicion: Suspicion, rehearsals: boolean): Promise<void> {
    try {
      const found = await traceRecords(this.#records, this.#force, suspicion, {
        rehearsals,
        signal: entry.stop.signal,
        onProgress: (progress) => (entry.state = { ...entry.state, ...progress }),
      });
      entry.state = { ...entry.state, state: "done", found };
    } catch (thrown) {
      const state = entry.stop.signal.aborted ? "cancelled" : "failed";
      entry.state = { ...entry.state, state, why: state === "failed" ? faultValue(thrown).message : null };
    }
  }

  #entry(trace: string): Entry {
    const entry = this.#entries.get(trace);
    if (entry !== undefined) return entry;
    throw new Fault(
      "records.not-found",
      `The station knows no trace ${trace}; it may have been started since. Begin it again.`,
      {
        data: { trace },
      },
    );
  }

  #found(trace: string): Trace {
    const { found } = this.#entry(trace).state;
    if (found !== null) return found;
    throw new Fault("run.not-allowed", `The trace ${trace} is not done.`, { data: { trace } });
  }

  #forget(): void {
    for (const [trace, { state }] of this.#entries) {
      if (this.#entries.size <= mostKept) return;
      if (state.state !== "running") this.#entries.delete(trace);
    }
  }
}

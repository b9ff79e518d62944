import type {
  BenchAnswer,
  FindInstrument,
  Found,
  InstrumentAt,
  InstrumentQuestion,
  InstrumentTrial,
  InstrumentValue,
  JobBench,
  KeepInstrument,
  KeptInstrument,
  LiveMessage,
  StillThere,
  SwitchedOff,
} from "#contract";
import type { Job } from "#calibration";
import { failure, Fault, success, type FaultValue, type Outcome } from "#fault";
import {
  addressForms,
  findInstrument,
  openAlone,
  parseAddress,
  tryInstrument,
  wantedInputs,
  watchInstrument,
  type FoundInstrument,
  type InstrumentEntry,
  type SerialPortFound,
  type TriedInput,
} from "#instruments";
import type { KnownInstrument, Records } from "#records";
import type { Conversations, EndedBy } from "../live/conversations.ts";
import { kitOnBench } from "./kit-on-bench.ts";
import { instrumentLine } from "./instrument-line.ts";

export interface BenchDeskOptions {
  readonly catalog: readonly InstrumentEntry[];
  readonly records: Records;
  readonly conversations: Conversations;
  readonly serialPorts: () => Promise<readonly SerialPortFound[]>;
  readonly now: () => Date;
}

const shortFault = ({ code, message }: FaultValue) => ({ code, message });

const faultOf = (outcome: Outcome<unknown>) => (outcome.ok ? null : shortFault(outcome.fault));

const saidOf = ({ identification, gives }: FoundInstrument): string =>
  gives === null ? identification : `${identification}; it gives ${gives}`;

const shownValue = ({ unit, input, outcome }: TriedInput): InstrumentValue => ({
  unit,
  input,
  value: outcome.ok ? outcome.value.value : null,
  wire: outcome.ok ? outcome.value.wire : null,
  fault: faultOf(outcome),
});

const whyEnded = (why: EndedBy): string => {
  if (why.by === "run")
    return `Run ${why.run} has begun and has this instrument now. Its values are on the page of its job.`;
  if (why.by === "job")
    return `A run of job ${why.job} is being begun and takes this instrument. Its values are on the page of that job.`;
  if (why.by === "station") return "The station is being stopped.";
  return "It is being asked something else, here or on another page.";
};

const readsOf = (entry: InstrumentEntry) =>
  Object.entries(entry.read).map(([unit, { inputs }]) => ({ unit, first: inputs.first, last: inputs.last }));

/** How a serial port is written as an address. */
const lineAt = {
  serial: (path: string, _unit: number) => `serial:${path}`,
  "modbus-rtu": (path: string, unit: number) => `modbus-rtu:${path}#${unit}`,
} as const;

const transportOf = (at: string) => {
  const parsed = parseAddress(at);
  return parsed.ok ? parsed.value.kind : null;
};

/** A number of tries that is more than anybody makes in a day; the oldest is forgotten. */
const mostHeard = 200;

/**
 * Instruments outside runs: what there is, what one says, and which are kept. It asks and reads; the one thing it commands
 * is "off".
 */
export class BenchDesk {
  readonly #options: BenchDeskOptions;
  /** What answered since the station began; only that can be kept. */
  readonly #heard = new Map<string, Pick<KnownInstrument, "said" | "answered">>();

  constructor(options: BenchDeskOptions) {
    this.#options = options;
  }

  async bench(): Promise<BenchAnswer> {
    const { catalog, records, serialPorts, conversations } = this.#options;
    const [ports, jobs, instruments] = await Promise.all([serialPorts(), records.listJobs(), this.#instruments()]);
    const earlier = jobs.flatMap(({ job }) =>
      job.bench.instruments.flatMap(({ entry, at }) =>
        at === "simulated"
          ? []
          : [{ entry, at, transport: transportOf(at), job: job.job, usedBy: conversations.usedBy(at) }],
      ),
    );
    return {
      entries: catalog.map((entry) => ({
        entry: entry.entry,
        title: entry.title,
        notes: entry.notes ?? null,
        role: entry.role,
        dialogue: entry.dialogue ?? "questions",
        transports: [entry.transport].flat().map(({ kind }) => kind),
        reads: readsOf(entry),
      })),
      ports: ports.map(({ path, about }) => ({
        path,
        about,
        usedBy: conversations.usedBy(lineAt.serial(path, 1)),
        addresses: (["serial", "modbus-rtu"] as const).map((transport) => ({
          transport,
          at: lineAt[transport](path, 1),
        })),
      })),
      earlier: earlier.filter(
        ({ entry, at }, index) => earlier.findIndex((other) => other.entry === entry && other.at === at) === index,
      ),
      forms: { ...addressForms },
      instruments,
      kit: await kitOnBench(records),
    };
  }

  /** Asks an instrument what it is and reads it once. What it does not answer is part of the answer. */
  async try(question: InstrumentQuestion): Promise<InstrumentTrial> {
    const { at } = question;
    const entry = this.#entry(question.entry);
    const inputs = wantedInputs(entry, question.unit, question.input);
    return this.#options.conversations.hold(at, false, async (signal) => {
      const transcript: InstrumentTrial["transcript"] = [];
      const { identity, inputs: tried } = await tryInstrument({
        entry,
        at,
        inputs,
        count: 1,
        setPoint: null,
        signal,
        observe: ({ at: time, direction, text }) => transcript.push({ at: time, direction, text }),
      });
      this.#hear(entry.entry, at, identity);
      return {
        said: identity.ok ? identity.value : null,
        fault: faultOf(identity),
        values: tried.map(shownValue),
        transcript,
      };
    });
  }

  /** Throws where an instrument cannot be watched now: no such entry, no such input, or a run has it. */
  refuse({ entry: name, at, unit, input }: InstrumentQuestion): void {
    const entry = this.#entry(name);
    openAlone({ entry, at, inputs: wantedInputs(entry, unit, input) });
    this.#options.conversations.refuse(at);
  }

  /** Live values until `left` is aborted, a run wants the instrument, or it is asked something else. */
  async watch(
    question: InstrumentQuestion,
    reader: { readonly left: AbortSignal; say(message: LiveMessage): void; ready(): Promise<void> },
  ): Promise<void> {
    const { at } = question;
    const entry = this.#entry(question.entry);
    const inputs = wantedInputs(entry, question.unit, question.input);
    const { left, say, ready } = reader;
    await this.#options.conversations.hold(at, true, async (ended) => {
      await watchInstrument({
        entry,
        at,
        inputs,
        signal: AbortSignal.any([left, ended]),
        identified: (identity) => {
          this.#hear(entry.entry, at, identity);
          say({ kind: "said", said: identity.ok ? identity.value : null, fault: faultOf(identity) });
        },
        heard: (values) => say({ kind: "values", values: values.map(shownValue) }),
        ready,
      });
      if (ended.aborted) say({ kind: "ended", why: whyEnded(ended.reason as EndedBy) });
    });
  }

  /** Which serial port an instrument of an entry answers on. Ports that a run has are left alone, and that is said. */
  async find({ entry: name, unit = 1 }: FindInstrument): Promise<Found> {
    const entry = this.#entry(name);
    const kinds = new Set([entry.transport].flat().map(({ kind }) => kind));
    const spoken = (["serial", "modbus-rtu"] as const).find((kind) => kinds.has(kind));
    if (spoken === undefined)
      throw new Fault(
        "input.invalid",
        `Entry "${name}" does not speak over a serial line, so it is on no serial port. Type its address.`,
      );
    const ports = await this.#options.serialPorts();
    return {
      ports: await Promise.all(
        ports.map(async ({ path, about }) => {
          const at = lineAt[spoken](path, unit);
          const found = await this.#ask(entry, at);
          return { at, about, said: found.ok ? saidOf(found.value) : null, fault: faultOf(found) };
        }),
      ),
    };
  }

  /**
   * Whether a job's instruments are where it says; they are asked what they are and nothing else. Where one is not, the
   * kept ones of its entry are asked too.
   */
  async ofJob({ bench }: Job): Promise<JobBench> {
    const kept = await this.#options.records.listInstruments();
    const real = bench.instruments.filter(({ at }) => at !== "simulated");
    return {
      instruments: await Promise.all(
        real.map(async ({ id, entry: name, at, role }) => {
          const entry = this.#options.catalog.find((each) => each.entry === name);
          const own = { id, entry: name, title: entry?.title ?? null, role, at };
          const found = await this.#there(entry, name, at);
          const fitting = found.state === "answers" ? [] : kept.filter((each) => each.entry === name && each.at !== at);
          return { ...own, ...found, kept: await Promise.all(fitting.map((each) => this.#inPlace(entry, each))) };
        }),
      ),
    };
  }

  async #there(entry: InstrumentEntry | undefined, name: string, at: string) {
    const usedBy = this.#options.conversations.usedBy(at);
    if (usedBy !== null) return { state: "in-use" as const, said: null, fault: null, usedBy };
    const message = `The catalogue has no entry "${name}".`;
    const found: Outcome<FoundInstrument> =
      entry === undefined ? failure("instrument.entry-invalid", message) : await this.#ask(entry, at);
    return found.ok
      ? { state: "answers" as const, said: found.value.identification, fault: null, usedBy }
      : { state: "silent" as const, said: null, fault: shortFault(found.fault), usedBy };
  }

  async #inPlace(entry: InstrumentEntry | undefined, { name, at, said, entry: of }: KnownInstrument) {
    const found = await this.#there(entry, of, at);
    const state = found.state === "answers" && found.said !== said ? ("another" as const) : found.state;
    return { name, at, state, said: found.said ?? said };
  }

  /** Switches a source's output off: the one command that goes out from here. */
  async switchOff({ entry: name, at }: InstrumentAt): Promise<SwitchedOff> {
    const entry = this.#entry(name);
    if (entry.role !== "source")
      throw new Fault("input.invalid", `Entry "${name}" is no heat source; there is no output to switch off.`);
    return this.#options.conversations.hold(at, false, async (signal) => {
      const { bench } = openAlone({ entry, at, inputs: [] });
      signal.addEventListener("abort", () => void bench.close(), { once: true });
      try {
        const switched = await bench.switchOutput(false);
        return { off: switched.ok, fault: faultOf(switched) };
      } finally {
        await bench.close();
      }
    });
  }

  /** Keeps an instrument that has answered since the station began. Throws `run.not-allowed` for one that has not. */
  async keep({ name, entry: of, at }: KeepInstrument): Promise<KeptInstrument> {
    const entry = this.#entry(of);
    const heard = this.#heard.get(`${of} ${at}`);
    if (heard === undefined)
      throw new Fault(
        "run.not-allowed",
        `Nothing has answered at ${at} by entry "${of}" since the station began, so there is nothing to keep. Try it first.`,
      );
    const kept = await this.#options.records.keepInstrument({ name, entry: of, role: entry.role, at, ...heard });
    return this.#shown(kept, await kitOnBench(this.#options.records));
  }

  async letGo(name: string): Promise<KeptInstrument[]> {
    await this.#options.records.letInstrumentGo(name);
    return this.#instruments();
  }

  /** Whether a kept instrument still answers where it was, and is the same. That it answered is recorded. */
  async check(name: string): Promise<StillThere> {
    const { records, conversations } = this.#options;
    const known = (await records.listInstruments()).find((each) => each.name === name);
    if (known === undefined) throw new Fault("records.not-found", `No instrument is kept under the name "${name}".`);
    const entry = this.#entry(known.entry);
    const { identity } = await conversations.hold(known.at, false, (signal) =>
      tryInstrument({ entry, at: known.at, id: name, inputs: [], count: 1, setPoint: null, signal }),
    );
    if (!identity.ok) {
      const another = identity.fault.code === "instrument.exchanged";
      return { state: another ? "another" : "silent", said: null, fault: faultOf(identity) };
    }
    this.#hear(known.entry, known.at, identity);
    if (identity.value !== known.said) return { state: "another", said: identity.value, fault: null };
    const { entry: of, role, at, said } = known;
    await records.keepInstrument({ name, entry: of, role, at, said, answered: this.#options.now().toISOString() });
    return { state: "answers", said, fault: null };
  }

  async #ask(entry: InstrumentEntry, at: string): Promise<Outcome<FoundInstrument>> {
    try {
      const found = await this.#options.conversations.hold(at, false, (signal) => findInstrument(entry, at, signal));
      if (found.ok) this.#hear(entry.entry, at, success(found.value.identification));
      return found;
    } catch (thrown) {
      if (thrown instanceof Fault) return { ok: false, fault: { code: thrown.code, message: thrown.message } };
      throw thrown;
    }
  }

  #hear(entry: string, at: string, identity: Outcome<string>): void {
    if (!identity.ok) return;
    const key = `${entry} ${at}`;
    this.#heard.delete(key);
    this.#heard.set(key, { said: identity.value, answered: this.#options.now().toISOString() });
    const [oldest] = this.#heard.keys();
    if (this.#heard.size > mostHeard && oldest !== undefined) this.#heard.delete(oldest);
  }

  #entry(name: string): InstrumentEntry {
    const { catalog } = this.#options;
    const entry = catalog.find((each) => each.entry === name);
    if (entry !== undefined) return entry;
    const known = catalog.map((each) => each.entry).join(", ");
    throw new Fault("input.invalid", `The catalogue has no entry "${name}". There are: ${known}.`);
  }

  #shown(known: KnownInstrument, kit: BenchAnswer["kit"]): KeptInstrument {
    const { name, entry, role, at, said, answered } = known;
    const title = this.#options.catalog.find((each) => each.entry === entry)?.title ?? null;
    const usedBy = this.#options.conversations.usedBy(at);
    const own = kit.find((each) => each.entry === name && each.kind === role) ?? null;
    return { name, entry, title, role, at, said, answered, usedBy, line: instrumentLine(known), kit: own };
  }

  async #instruments(): Promise<KeptInstrument[]> {
    const kit = await kitOnBench(this.#options.records);
    return (await this.#options.records.listInstruments()).map((known) => this.#shown(known, kit));
  }
}

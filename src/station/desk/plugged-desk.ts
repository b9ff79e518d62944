import type { Job } from "#calibration";
import { Fault } from "#fault";
import { openAlone, type InstrumentEntry, type PluggedProbe } from "#instruments";
import type { BroughtEntry } from "#intake";
import type { Records } from "#records";
import type { BenchHost } from "../bench-host.ts";
import type { Conversations } from "../live/conversations.ts";
import { askPlugged, decideReference, type DecidedReference, type ProbeWish } from "../plugged-reference.ts";
import { newestEntries } from "./newest-entries.ts";

export interface PluggedDeskOptions {
  readonly records: Records;
  readonly host: BenchHost;
  readonly catalog: readonly InstrumentEntry[];
  readonly conversations: Conversations;
}

/** What an input of a readout says; `why` where it could not be asked or understood. */
export interface PluggedInput {
  readonly input: number;
  readonly probe: PluggedProbe | null;
  readonly why: string | null;
}

const asksForProbes = (entry: InstrumentEntry | undefined): entry is InstrumentEntry & { dialogue?: "questions" } =>
  entry !== undefined && entry.dialogue !== "registers" && entry.dialogue !== "talk-only" && entry.probe !== undefined;

/** Which probes are plugged in, by the readouts' own word. It asks and reads; nothing is commanded. */
export class PluggedDesk {
  readonly #options: PluggedDeskOptions;

  constructor(options: PluggedDeskOptions) {
    this.#options = options;
  }

  /** Kept readouts that can say which probe is plugged in. */
  async readouts(): Promise<{ name: string; entry: string; at: string }[]> {
    const { records, catalog } = this.#options;
    return (await records.listInstruments())
      .filter(({ entry }) => asksForProbes(catalog.find((each) => each.entry === entry)))
      .map(({ name, entry, at }) => ({ name, entry, at }));
  }

  /** Asks every input of a kept readout. Throws `records.not-found`, and `run.not-allowed` while a run has it. */
  async inputs(name: string): Promise<readonly PluggedInput[]> {
    const { records, catalog, conversations } = this.#options;
    const kept = (await records.listInstruments()).find((each) => each.name === name);
    const entry = catalog.find((each) => each.entry === kept?.entry);
    if (kept === undefined || !asksForProbes(entry))
      throw new Fault(
        "records.not-found",
        `No readout is kept under the name "${name}" that says which probe is plugged in.`,
      );
    const { first, last } = entry.probe!.inputs;
    const [unit] = Object.keys(entry.read) as (keyof typeof entry.read)[];
    const numbers = Array.from({ length: last - first + 1 }, (_, index) => first + index).filter((input) => {
      const known = unit === undefined ? undefined : entry.read[unit]?.inputs;
      return known !== undefined && input >= known.first && input <= known.last;
    });
    return conversations.hold(kept.at, false, async (signal) => {
      const alone = { entry, at: kept.at, id: name, inputs: numbers.map((input) => ({ unit: unit!, input })) };
      const { bench } = openAlone(alone);
      signal.addEventListener("abort", () => void bench.close(), { once: true });
      try {
        const said: PluggedInput[] = [];
        for (const [index, input] of numbers.entries()) {
          const answer = await bench.probe(`input-${index}`);
          if (answer === null) continue;
          said.push(
            answer.ok ? { input, probe: answer.value, why: null } : { input, probe: null, why: answer.fault.message },
          );
        }
        return said;
      } finally {
        await bench.close();
      }
    });
  }

  /** The job with the reference with which it is to be run. Throws `kit.another-probe` where that needs somebody's word. */
  async decide(job: Job, wish: ProbeWish | undefined): Promise<DecidedReference> {
    const { host, conversations, records } = this.#options;
    const addresses = job.bench.instruments.map(({ at }) => at).filter((at) => at !== "simulated");
    for (const at of addresses) conversations.refuse(at);
    await conversations.makeRoom({ by: "job", job: job.job }, addresses);
    const kit: readonly BroughtEntry[] = newestEntries(await records.listKit());
    return decideReference(await askPlugged(host, job, kit), job, wish);
  }
}

import type { KitUpkeep, TypedTestRead, UpkeepFinding } from "#contract";
import { Fault, unwrap } from "#fault";
import type { Finding, KitEntry, Records } from "#records";
import {
  documentOf,
  evaluateUpkeep,
  stepsOf,
  upkeepKinds,
  usualPlan,
  type KitEntries,
  type ReferenceCheckResult,
  type UpkeepDocument,
  type UpkeepKind,
  type UpkeepPlan,
  type UpkeepResult,
} from "#upkeep";
import { approveUpkeep, documentIn, keepUpkeep, withHistory, type Approval } from "./keep-upkeep.ts";
import { shownResult, shownTest } from "./upkeep-shown.ts";

interface Evaluated {
  readonly finding: Finding;
  readonly document: UpkeepDocument;
  readonly result: UpkeepResult;
}

const kindsFor = (entry: KitEntry): readonly UpkeepKind[] =>
  entry.kind === "source"
    ? ["characterisation"]
    : entry.kind === "reference" && entry.entry.unit === "Ω"
      ? upkeepKinds.filter((kind) => kind !== "characterisation")
      : [];

const entriesOf = (entry: KitEntry): KitEntries =>
  entry.kind === "source" ? { source: entry.entry } : entry.kind === "reference" ? { reference: entry.entry } : {};

const pointNames = { "ice-point": "ice point", "water-triple-point": "triple point of water" } as const;

/** The tests of a kit entry: what was found, the chart, what a person may do next. */
export class UpkeepDesk {
  readonly #records: Records;

  constructor(records: Records) {
    this.#records = records;
  }

  async of(id: string): Promise<KitUpkeep> {
    const revisions = await this.#records.listKit(id);
    const newest = this.#newest(id, revisions);
    const evaluated = (await this.#records.listFindings(id)).flatMap((finding) => this.#evaluated(finding));
    return {
      entry: {
        kind: newest.kind,
        id: newest.entry.id,
        description: newest.entry.description,
        serial: newest.entry.serial,
        revision: newest.entry.revision,
      },
      tests: kindsFor(newest).flatMap((kind) => {
        const plan = usualPlan(kind, entriesOf(newest), "the person at the bench");
        return plan.ok ? [shownTest(plan.value)] : [];
      }),
      findings: evaluated.map(({ finding, result }) =>
        shownResult(result, { number: finding.number, approved: approvedAs(finding.number, revisions) }),
      ),
      charts: chartsOf(evaluated),
    };
  }

  /** What typed readings come to; nothing is recorded. */
  async attempt(id: string, typed: TypedTestRead): Promise<UpkeepFinding> {
    const document = await withHistory(this.#records, await this.#document(id, typed));
    return shownResult(unwrap(evaluateUpkeep(document)), { number: null, approved: null });
  }

  async keep(id: string, typed: TypedTestRead): Promise<KitUpkeep> {
    unwrap(await keepUpkeep(this.#records, await this.#document(id, typed), null));
    return this.of(id);
  }

  async approve(id: string, number: number, approval: Approval): Promise<KitUpkeep> {
    const finding = (await this.#records.listFindings(id)).find((each) => each.number === number);
    if (finding === undefined)
      throw new Fault("records.not-found", `The kit entry ${id} has no finding ${number}. Its list shows all.`);
    unwrap(await approveUpkeep(this.#records, finding, approval));
    return this.of(id);
  }

  #newest(id: string, revisions: readonly KitEntry[]): KitEntry {
    const [newest] = revisions;
    if (newest === undefined)
      throw new Fault("records.not-found", `The kit has no entry ${id}. The list of the kit shows all.`);
    return newest;
  }

  #evaluated(finding: Finding): Evaluated[] {
    const document = documentIn(finding);
    const result = document === null ? null : evaluateUpkeep(document);
    return document === null || result === null || !result.ok ? [] : [{ finding, document, result: result.value }];
  }

  /** Typed readings as a document of the entry's newest revision. */
  async #document(id: string, typed: TypedTestRead): Promise<UpkeepDocument> {
    const newest = this.#newest(id, await this.#records.listKit(id));
    const usual = unwrap(usualPlan(typed.kind, entriesOf(newest), typed.by));
    const plan = adapted(usual, typed);
    const reads = stepsOf(plan).flatMap((step) => (step.do === "read" ? [step.visit] : []));
    const visits = typed.stays.map(({ stay, readings }) => ({ visit: reads[stay] ?? {}, readings }));
    const made = documentOf(plan, { at: typed.at, rehearsal: false, visits });
    if (made.ok) return made.value;
    throw new Fault("input.invalid", `The readings cannot be used. ${made.fault.message}`);
  }
}

const adapted = (plan: UpkeepPlan, { ambient, point, temperature }: TypedTestRead): UpkeepPlan => {
  const own = { ...plan, ambient };
  if (own.kind === "reference-check") return { ...own, point };
  return own.kind === "characterisation" || temperature === undefined ? own : { ...own, temperature };
};

/** Revision that came of a finding: its reason names the finding. */
const approvedAs = (finding: number, revisions: readonly KitEntry[]): number | null =>
  revisions.find(({ reason }) => reason?.endsWith(`(finding ${finding})`) === true)?.entry.revision ?? null;

/** The chart of each point at which the entry was checked, as its latest check has it. */
const chartsOf = (evaluated: readonly Evaluated[]): KitUpkeep["charts"] => {
  const real = evaluated.some(({ document }) => !document.rehearsal);
  const checks = evaluated
    .filter(({ document }) => !real || !document.rehearsal)
    .map(({ result }) => result)
    .filter((result): result is ReferenceCheckResult => result.kind === "reference-check")
    .toSorted((a, b) => (a.at < b.at ? 1 : -1));
  const latest = (["ice-point", "water-triple-point"] as const).map((point) =>
    checks.find((check) => check.point === point && check.chart !== null),
  );
  return latest.flatMap((check) =>
    check === undefined || check.chart === null
      ? []
      : [{ point: pointNames[check.point], chart: check.chart, allowance: check.allowance?.band ?? null }],
  );
};

import type { Reference } from "#calibration";
import type { FaultValue } from "#fault";
import { calibratedWith, type Descendant } from "./calibrated-with.ts";
import type { MovedResult, ReassessedRun } from "./reassess.ts";
import type { Suspicion } from "./suspicion.ts";

/** A run evaluated again, or why it could not be. */
export type Reassessed = { readonly run: string } & (
  | { readonly moved: ReassessedRun }
  | { readonly fault: FaultValue }
);

/** What a trace needs of the records, and somebody who evaluates. */
export interface TracePorts {
  /** Runs opened after the last good evidence that used the suspect, in the order of their opening. */
  runsWith(suspicion: Suspicion): Promise<readonly string[]>;
  /** Evaluates runs again, in their order; `done` is called after each. */
  reassess(runs: readonly string[], suspicion: Suspicion, done: () => void): Promise<readonly Reassessed[]>;
  /** Numbers of the certificates of a run. */
  certificatesOf(run: string): Promise<readonly string[]>;
  /** Every revision of every reference. */
  references(): Promise<readonly Omit<Reference, "channel">[]>;
}

export interface TraceProgress {
  /** How many references deep: 0 for the suspect itself. */
  readonly generation: number;
  readonly done: number;
  readonly of: number;
}

/** A run with its certificates, and by which suspect it was reached. */
export interface TracedRun extends ReassessedRun {
  readonly certificates: readonly string[];
  readonly through: string;
  readonly generation: number;
}

/** Somebody who must be told, with what it is about. */
export interface ToTell {
  readonly customer: string;
  readonly contact: string | null;
  readonly runs: readonly string[];
  readonly certificates: readonly string[];
  readonly changes: number;
}

export interface Trace {
  readonly suspicion: Suspicion;
  readonly runs: readonly TracedRun[];
  readonly unreadable: readonly { readonly run: string; readonly fault: FaultValue }[];
  /** References that carry the fault on. */
  readonly descendants: readonly Descendant[];
  readonly count: {
    readonly runs: number;
    readonly results: number;
    readonly act: number;
    readonly stands: number;
    readonly changes: number;
    readonly cannotTell: number;
  };
  readonly toTell: readonly ToTell[];
}

/** So many references deep a chain is followed; a longer one is not known of, and a ring would have no end. */
const deepest = 8;

const count = (results: readonly MovedResult[], runs: number): Trace["count"] => {
  const of = (statement: MovedResult["statement"]): number =>
    results.filter((result) => result.statement === statement).length;
  return {
    runs,
    results: results.length,
    act: results.filter(({ act }) => act).length,
    stands: of("stands"),
    changes: of("changes"),
    cannotTell: of("cannot-tell"),
  };
};

const whoToTell = (runs: readonly TracedRun[]): ToTell[] => {
  const concerned = runs.filter(({ results }) => results.some(({ act }) => act));
  const customers = [...new Set(concerned.map(({ customer }) => customer.name))];
  const byCustomer = customers.map((name) => ({
    name,
    own: concerned.filter(({ customer }) => customer.name === name),
  }));
  return byCustomer.map(({ name, own }) => ({
    customer: name,
    contact: own.find(({ customer: { contact } }) => contact !== null)?.customer.contact ?? null,
    runs: own.map(({ run }) => run),
    certificates: own.flatMap(({ certificates }) => certificates),
    changes: own.flatMap(({ results }) => results).filter(({ statement }) => statement !== "stands").length,
  }));
};

/** Those that need a decision first: changed statements, then what cannot be told, then by how far they moved. */
const urgency = ({ results }: ReassessedRun): number =>
  Math.max(
    0,
    ...results.map(({ statement, share }) =>
      statement === "changes" ? 1e6 + (share ?? 0) : statement === "cannot-tell" ? 1e3 : (share ?? 0),
    ),
  );

/**
 * Follows a suspect through everything that was measured with it, and through the references that were calibrated with it
 * (rules T8 and T9). A run that cannot be evaluated is named and leaves the others alone. A run that is reached by several
 * suspects is listed with each.
 */
export const traceBack = async (
  suspicion: Suspicion,
  ports: TracePorts,
  progress: (state: TraceProgress) => void = () => {},
): Promise<Trace> => {
  const references = await ports.references();
  const runs: TracedRun[] = [];
  const unreadable: Trace["unreadable"][number][] = [];
  const descendants: Descendant[] = [];
  const known = new Set<string>();
  let generation = 0;
  let front: readonly Suspicion[] = [suspicion];
  while (front.length > 0 && generation < deepest) {
    const next: Suspicion[] = [];
    for (const suspect of front) {
      const names = await ports.runsWith(suspect);
      let done = 0;
      progress({ generation, done, of: names.length });
      const answers = await ports.reassess(names, suspect, () => {
        done += 1;
        progress({ generation, done, of: names.length });
      });
      for (const answer of answers) {
        if ("fault" in answer) {
          unreadable.push({ run: answer.run, fault: answer.fault });
          continue;
        }
        const certificates = await ports.certificatesOf(answer.run);
        runs.push({ ...answer.moved, certificates, through: suspect.kit.serial, generation });
        for (const descendant of calibratedWith(answer.moved, certificates, references, suspicion)) {
          const key = `${descendant.entry}/${descendant.revision}/${descendant.certificate}`;
          if (known.has(key)) continue;
          known.add(key);
          descendants.push(descendant);
          next.push(descendant.suspicion);
        }
      }
    }
    front = next;
    generation += 1;
  }
  const ordered = runs.toSorted((a, b) => urgency(b) - urgency(a));
  return {
    suspicion,
    runs: ordered,
    unreadable,
    descendants,
    count: count(
      runs.flatMap(({ results }) => results),
      runs.length,
    ),
    toTell: whoToTell(ordered),
  };
};

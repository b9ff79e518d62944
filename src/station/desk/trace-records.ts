import type { Workforce } from "#parallel";
import type { Records } from "#records";
import { traceBack, type Reassessed, type Suspicion, type Trace, type TraceProgress } from "#traceback";

export interface TraceOptions {
  /** Rehearsals too; left out where nothing is said. */
  readonly rehearsals?: boolean | undefined;
  readonly onProgress?: ((progress: TraceProgress) => void) | undefined;
  readonly signal?: AbortSignal | undefined;
}

/** So many logs are held in memory at once. */
const atOnce = 64;

/** The first moment that can be later than a day, as a UTC text. */
const dayBegins = (day: string): string => `${day}T00:00:00Z`;

/**
 * Follows a suspect through the records of a station (rules T1 to T9 of traceback), its runs evaluated again on all threads.
 * Aborted: rejects with the signal's reason; nothing was changed, because a trace writes nothing.
 */
export const traceRecords = (
  records: Records,
  force: Workforce,
  suspicion: Suspicion,
  { rehearsals, onProgress, signal }: TraceOptions = {},
): Promise<Trace> => {
  const reassess = async (
    runs: readonly string[],
    suspect: Suspicion,
    done: () => void,
  ): Promise<readonly Reassessed[]> => {
    const answers: Reassessed[] = [];
    const textsFrom = (start: number): Promise<string[]> =>
      Promise.all(runs.slice(start, start + atOnce).map((run) => records.exportLog(run)));
    let next = textsFrom(0);
    for (let start = 0; start < runs.length; start += atOnce) {
      const texts = await next;
      // The next are read while these are worked on.
      next = textsFrom(start + atOnce);
      next.catch(() => undefined);
      signal?.throwIfAborted();
      const logs = await force.reassessLogs(texts, suspect, signal === undefined ? {} : { signal });
      for (const log of logs) {
        answers.push({ run: runs[answers.length]!, ...log });
        done();
      }
    }
    return answers;
  };
  return traceBack(
    suspicion,
    {
      runsWith: async ({ kit, good }) => {
        const found = await records.runsWithKit({ ...kit, from: dayBegins(good), rehearsals });
        return found.map(({ run }) => run);
      },
      reassess,
      certificatesOf: async (run) => {
        const { certificates } = await records.listCertificates({ run });
        return certificates.map(({ number }) => number);
      },
      references: async () => {
        const kit = await records.listKit();
        return kit.flatMap((each) => (each.kind === "reference" ? [each.entry] : []));
      },
    },
    onProgress,
  );
};

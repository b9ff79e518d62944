import type { Reference } from "#calibration";
import type { ReassessedRun } from "./reassess.ts";
import type { Suspicion } from "./suspicion.ts";

/** A reference whose own calibration is one of the results that moved, and what follows for everything measured with it. */
export interface Descendant {
  readonly entry: string;
  readonly revision: number;
  readonly serial: string;
  readonly certificate: string;
  /** The run that calibrated it. */
  readonly run: string;
  readonly suspicion: Suspicion;
}

/** What the re-evaluation added to a standard uncertainty; the rest is in the certificate's own U. Both U are taken as 2 u. */
const growth = (before: number, after: number): number => Math.sqrt(Math.max(0, after ** 2 - before ** 2)) / 2;

/**
 * References that were calibrated by a run which moved: the certificate in the kit entry is one of the run's, and the serial
 * is that of its item. An error that moved by m was too high by −m, so that what such a reference says must be raised by
 * −m; it holds from its calibration on, and its uncertainty is in the results that moved already (rule T8).
 */
export const calibratedWith = (
  run: ReassessedRun,
  certificates: readonly string[],
  references: readonly Omit<Reference, "channel">[],
  { bad, significant, reason }: Pick<Suspicion, "bad" | "significant" | "reason">,
): Descendant[] =>
  references.flatMap((reference) => {
    const { calibration, serial } = reference;
    if (!certificates.includes(calibration.certificate)) return [];
    const own = run.results.filter(
      (result) => result.serial === serial && result.what === "error" && result.moved !== null,
    );
    // What was left counts; as found only where nothing was left otherwise.
    const left = own.filter(({ pass }) => pass === "as-left");
    const byTemperature = new Map((left.length > 0 ? left : own).map((result) => [result.nominal, result]));
    const table = [...byTemperature]
      .sort(([a], [b]) => a - b)
      .map(([at, { moved, before, after }]) => ({ at, add: -moved!, u: growth(before.U, after!.U) }));
    if (table.every(({ add }) => add === 0)) return [];
    return [
      {
        entry: reference.id,
        revision: reference.revision,
        serial,
        certificate: calibration.certificate,
        run: run.run,
        suspicion: {
          kit: { kind: "reference", serial, entry: reference.id, revision: reference.revision },
          good: calibration.date,
          bad: bad < calibration.date ? calibration.date : bad,
          correction: { kind: "differences", table },
          course: { kind: "step" },
          significant,
          reason: `calibrated by run ${run.run} (certificate ${calibration.certificate}): ${reason}`,
        } satisfies Suspicion,
      },
    ];
  });

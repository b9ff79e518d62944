import type { Outcome } from "#fault";
import { openAlone, type AloneOptions } from "./open-alone.ts";
import { pause } from "./pause.ts";
import type { TriedInput } from "./try-instrument.ts";

/** From the beginning of one round of questions to the next, s: often enough to be watched, seldom enough for any instrument. */
const usualPace = 1;

/**
 * Reads an instrument's inputs again and again until the signal is aborted, and says what came each time. It commands
 * nothing. What an instrument does not answer is said too, and asked again with the next round: the cable may be put back.
 * Resolves when the wire is closed. Throws a Fault where the entry cannot read what is wanted.
 */
export const watchInstrument = async (
  options: AloneOptions & {
    readonly signal: AbortSignal;
    readonly identified: (identity: Outcome<string>) => void;
    readonly heard: (inputs: readonly TriedInput[]) => void;
    /** Waits until whoever hears can hear more. */
    readonly ready?: (() => Promise<void>) | undefined;
    readonly pace?: number | undefined;
  },
): Promise<void> => {
  const { inputs, signal, identified, heard, ready, pace = usualPace } = options;
  const { bench, readInputs } = openAlone(options);
  const closing = new Promise<void>((resolve) => {
    const close = () => resolve(bench.close());
    if (signal.aborted) close();
    else signal.addEventListener("abort", close, { once: true });
  });
  let known = false;
  while (!signal.aborted) {
    const began = performance.now();
    if (!known) {
      const prepared = await bench.prepare();
      if (signal.aborted) break;
      known = prepared.ok;
      identified(prepared.ok ? { ok: true, value: prepared.value[0]!.identification } : prepared);
    }
    if (known) {
      const answers = await readInputs();
      if (signal.aborted) break;
      heard(answers.map(({ outcome }, index) => ({ ...inputs[index]!, outcome })));
    }
    await ready?.();
    const left = pace - (performance.now() - began) / 1000;
    if (left > 0) await Promise.race([pause(left), closing]);
  }
  await closing;
};

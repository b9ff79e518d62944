import type { AbortSignalLike, Clock } from "#engine";

/** Longest wait that the platform's timer takes, ms. */
const longestTimer = 2 ** 31 - 1;

/**
 * The run's clock on instruments that live in real time: seconds since the run was opened, `speed` times faster than the
 * wall. Real instruments have speed 1; a bench that `simulate` runs faster needs the same speed here. It begins at `from`
 * and takes its pace from the monotonic clock, so that setting the machine's time does not disturb a run.
 */
export const wallClock = (from: number, speed = 1): Clock => {
  const started = performance.now();
  const now = (): number => from + ((performance.now() - started) / 1000) * speed;
  return {
    now,
    async sleepUntil(at: number, signal?: AbortSignalLike): Promise<void> {
      for (;;) {
        if (signal?.aborted === true || now() >= at) return;
        const wait = Math.min(longestTimer, Math.ceil(((at - now()) / speed) * 1000));
        await new Promise<void>((resolve) => {
          const wake = (): void => {
            clearTimeout(timer);
            signal?.removeEventListener("abort", wake);
            resolve();
          };
          const timer = setTimeout(wake, wait);
          signal?.addEventListener("abort", wake);
        });
      }
    },
  };
};

/** What a clock needs of an abort signal; the platform's own fits. */
export interface ClockSignal {
  readonly aborted: boolean;
  addEventListener(type: "abort", listener: () => void): void;
  removeEventListener(type: "abort", listener: () => void): void;
}

/** A run's clock: seconds since the run was opened, never back. Fits the engine's port. */
export interface SimulatedClock {
  now(): number;
  sleepUntil(at: number, signal?: ClockSignal): Promise<void>;
}

const longestTimer = 2_000_000_000;

/** Wall time multiplied by `speed`, from `startedAt` seconds on. For a bench that runs by itself; its digits depend on when it is asked. */
export const scaledClock = (options: { readonly speed: number; readonly startedAt?: number }): SimulatedClock => {
  const { speed, startedAt = 0 } = options;
  const origin = performance.now();
  const now = () => startedAt + ((performance.now() - origin) / 1000) * speed;
  const sleepUntil = async (at: number, signal?: ClockSignal): Promise<void> => {
    for (;;) {
      if (signal?.aborted === true || now() >= at) return;
      const wait = Math.min(longestTimer, Math.max(1, Math.ceil(((at - now()) / speed) * 1000)));
      await new Promise<void>((resolve) => {
        const wake = () => {
          clearTimeout(timer);
          signal?.removeEventListener("abort", wake);
          resolve();
        };
        const timer = setTimeout(wake, wait);
        signal?.addEventListener("abort", wake);
      });
    }
  };
  return { now, sleepUntil };
};

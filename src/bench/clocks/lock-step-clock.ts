import type { ClockSignal, SimulatedClock } from "./scaled-clock.ts";

interface Sleeper {
  readonly at: number;
  readonly order: number;
  readonly wake: () => void;
}

/** How far behind its pace the clock may be and still catch up, real ms; beyond it the pace begins anew. */
const catchUpLimit = 250;

/**
 * Time that jumps: `now()` stands still until somebody sleeps, then becomes exactly what the earliest sleeper waits for.
 * Only the pace is real: `speed` simulated seconds a second, `Infinity` for as fast as the machine goes (the event loop
 * still gets a turn at every jump, so that sockets live). Two sleepers wake in the order of their times, then of asking.
 * An aborted sleeper wakes at once and moves no time. Once `signal` is aborted, every sleeper wakes at once.
 */
export const lockStepClock = (options: {
  readonly speed: number;
  readonly startedAt?: number;
  readonly signal?: ClockSignal;
}): SimulatedClock => {
  const { speed, startedAt = 0, signal: stop } = options;
  const sleepers: Sleeper[] = [];
  let time = startedAt;
  let order = 0;
  let running = false;
  let poke: () => void = () => undefined;
  let anchorReal = performance.now();
  let anchorTime = startedAt;

  const earliest = () =>
    sleepers.reduce<Sleeper | undefined>(
      (best, next) =>
        best === undefined || next.at < best.at || (next.at === best.at && next.order < best.order) ? next : best,
      undefined,
    );

  /** Real time until a moment is due, ms; the anchor moves on when the machine cannot keep the pace. */
  const untilDue = (at: number): number => {
    if (!Number.isFinite(speed)) return 0;
    const due = anchorReal + ((at - anchorTime) / speed) * 1000;
    const left = due - performance.now();
    if (left < -catchUpLimit) {
      anchorReal = performance.now();
      anchorTime = at;
    }
    return left;
  };

  const wait = (milliseconds: number) =>
    new Promise<void>((resolve) => {
      if (milliseconds < 1) {
        poke = () => undefined;
        setImmediate(resolve);
        return;
      }
      const timer = setTimeout(resolve, Math.min(milliseconds, 2_000_000_000));
      poke = () => {
        clearTimeout(timer);
        resolve();
      };
    });

  const pump = async () => {
    running = true;
    for (let next = earliest(); next !== undefined; next = earliest()) {
      const left = untilDue(next.at);
      await wait(left);
      // Somebody may meanwhile have asked for an earlier moment, or this sleeper been called off.
      if (earliest() !== next || untilDue(next.at) >= 1) continue;
      sleepers.splice(sleepers.indexOf(next), 1);
      time = Math.max(time, next.at);
      next.wake();
      await new Promise((resolve) => setImmediate(resolve));
    }
    running = false;
  };

  return {
    now: () => time,
    sleepUntil(at, signal) {
      if (signal?.aborted === true || stop?.aborted === true) return Promise.resolve();
      if (at <= time) return new Promise((resolve) => setImmediate(resolve));
      return new Promise((resolve) => {
        const callOff = () => {
          const index = sleepers.indexOf(sleeper);
          if (index >= 0) sleepers.splice(index, 1);
          sleeper.wake();
          poke();
        };
        const sleeper: Sleeper = {
          at,
          order: (order += 1),
          wake: () => {
            signal?.removeEventListener("abort", callOff);
            stop?.removeEventListener("abort", callOff);
            resolve();
          },
        };
        signal?.addEventListener("abort", callOff);
        stop?.addEventListener("abort", callOff);
        sleepers.push(sleeper);
        if (running) poke();
        else void pump();
      });
    },
  };
};

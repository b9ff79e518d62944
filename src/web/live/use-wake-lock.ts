import { useEffect } from "react";

/** Keeps the screen awake while `on`: a tablet at the bench that goes dark is no clock. Quietly does without where it cannot. */
export const useWakeLock = (on: boolean): void => {
  useEffect(() => {
    if (!on || !("wakeLock" in navigator)) return undefined;
    let lock: WakeLockSentinel | null = null;
    let over = false;
    const ask = async (): Promise<void> => {
      if (document.visibilityState !== "visible") return;
      try {
        const given = await navigator.wakeLock.request("screen");
        if (over) await given.release();
        else lock = given;
      } catch (error) {
        // A low battery or a setting may refuse it; the page works without.
        if (!(error instanceof DOMException)) throw error;
      }
    };
    const again = (): void => void ask();
    void ask();
    document.addEventListener("visibilitychange", again);
    return () => {
      over = true;
      document.removeEventListener("visibilitychange", again);
      void lock?.release();
    };
  }, [on]);
};

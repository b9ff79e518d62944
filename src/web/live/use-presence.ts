import { useEffect } from "react";
import type { RunView } from "#contract";
import { client } from "../station.ts";

/** At most so often the station is told that somebody is there, ms. */
const often = 20_000;

/** Tells the station that somebody touches this page, where a run limits the time with nobody there. */
export const usePresence = (view: RunView | null): void => {
  const run = view?.attention == null ? null : view.run;
  useEffect(() => {
    if (run === null) return undefined;
    let last = 0;
    const touched = (): void => {
      const now = performance.now();
      if (last !== 0 && now - last < often) return;
      last = now;
      // A station that does not hear it switches the source off: the safe side.
      client.attend(run).catch(() => undefined);
    };
    const kinds = ["pointerdown", "keydown"] as const;
    for (const kind of kinds) window.addEventListener(kind, touched, { passive: true });
    return () => {
      for (const kind of kinds) window.removeEventListener(kind, touched);
    };
  }, [run]);
};

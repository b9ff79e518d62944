import { useLocalStorage } from "@mantine/hooks";
import { useEffect, useRef } from "react";
import type { RunView } from "#contract";
import { allowTones, sound } from "./tones.ts";

export const useMuted = () =>
  useLocalStorage({ key: "dwellpoint-muted", defaultValue: false, getInitialValueInEffect: false });

/** What hands are wanted for: another text is another call. */
const callOf = ({ hand }: RunView): string | null =>
  hand === null
    ? null
    : hand.setPoint !== null
      ? `set ${hand.setPoint}`
      : hand.asked === null
        ? null
        : `read ${hand.asked.at}`;

/** Sounds when a point becomes ready, when hands are wanted, and when something is wrong that was not wrong before. */
export const useTones = (view: RunView | null): void => {
  const [muted] = useMuted();
  const before = useRef<{ run: string; stage: RunView["stage"]; faults: number; call: string | null } | null>(null);
  useEffect(() => allowTones(), []);
  useEffect(() => {
    if (view === null) return;
    const last = before.current;
    const call = callOf(view);
    before.current = { run: view.run, stage: view.stage, faults: view.faults.length, call };
    if (muted || last === null || last.run !== view.run) return;
    if (
      view.faults.length > last.faults ||
      (view.stage === "ended" && view.outcome === "failed" && last.stage !== "ended")
    )
      sound("trouble");
    else if (call !== null && call !== last.call) sound("call");
    else if (view.stage === "measuring" && last.stage !== "measuring") sound("ready");
  }, [view, muted]);
};

import { useHotkeys } from "@mantine/hooks";
import { IconPlayerStop } from "@tabler/icons-react";
import { useState } from "react";
import type { RunView } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { client, wordsOf } from "../station.ts";
import css from "./measure-stage.module.css";

type Sent = { readonly state: "no" | "sent" } | { readonly state: "failed"; readonly words: string };

/**
 * Stop, one tap or one key away: the heat is taken away by a request of its own that waits for nothing, whatever else of this
 * page is under way or hangs. What becomes of the run is asked afterwards (`stopped`).
 */
export const StopControl = ({ view, by, stopped }: { view: RunView; by: string; stopped: () => void }) => {
  const [sent, setSent] = useState<Sent>({ state: "no" });
  const over = view.stage === "ended";
  const press = (): void => {
    if (over) return;
    setSent({ state: "sent" });
    stopped();
    client.stopRun(view.run, { by }).then(
      () => setSent({ state: "no" }),
      (error: unknown) => setSent({ state: "failed", words: wordsOf(error) }),
    );
  };
  useHotkeys([["x", press]]);
  return (
    <>
      {sent.state === "failed" && (
        <span role="alert" className={css.lost}>
          <TroubleShape />
          <span>
            Stop did not reach the station: {sent.words} Press again, or switch the source off at its own switch.
          </span>
        </span>
      )}
      <button
        type="button"
        className={`${parts.button} ${parts.danger} ${css.stop}`}
        disabled={over}
        onClick={press}
        aria-keyshortcuts="x"
      >
        <IconPlayerStop size={22} aria-hidden="true" />
        {sent.state === "sent" ? "Stopping …" : "Stop"} <kbd className={parts.key}>x</kbd>
      </button>
    </>
  );
};

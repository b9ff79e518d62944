import { useEffect, useReducer, useRef } from "react";
import { paths, runMessageSchema, type Approach, type RunView } from "#contract";
import { client } from "../station.ts";

export interface RunStream {
  readonly view: RunView | null;
  readonly approach: Approach | null;
  /** `quiet`: connected, but nothing came although something should have. */
  readonly link: "joining" | "live" | "lost" | "quiet" | "ended";
  /** When the last message came, by this machine's clock. */
  readonly heardAt: number | null;
}

type Happening =
  | { readonly kind: "view"; readonly view: RunView; readonly now: number }
  | { readonly kind: "approach"; readonly approach: Approach; readonly now: number }
  | { readonly kind: "link"; readonly link: RunStream["link"] }
  | { readonly kind: "forget" };

const nothingYet: RunStream = { view: null, approach: null, link: "joining", heardAt: null };

const isOf = (approach: Approach | null, view: RunView): boolean =>
  approach !== null && approach.pass === view.pass && approach.point === view.point;

const follow = (state: RunStream, happening: Happening): RunStream => {
  switch (happening.kind) {
    case "view":
      return {
        ...state,
        view: happening.view,
        approach: isOf(state.approach, happening.view) ? state.approach : null,
        link: happening.view.stage === "ended" ? "ended" : "live",
        heardAt: happening.now,
      };
    case "approach":
      return { ...state, approach: happening.approach, heardAt: happening.now };
    case "link":
      return state.link === happening.link || (state.link === "ended" && happening.link !== "joining")
        ? state
        : { ...state, link: happening.link };
    case "forget":
      return nothingYet;
  }
};

/** Silence of this length, while readings should come, is said on the page. */
const quietAfter = 8_000;

/**
 * Follows one run. The stream always begins with a whole view, so a reader that was away needs nothing but to join again;
 * a gap in the numbering is answered by asking for the view.
 */
export const useRunStream = (run: string | null): RunStream => {
  const [state, dispatch] = useReducer(follow, nothingYet);
  const latest = useRef(state);
  useEffect(() => {
    latest.current = state;
  }, [state]);

  useEffect(() => {
    dispatch({ kind: "forget" });
    if (run === null) return undefined;
    let source: EventSource | null = null;
    let again: ReturnType<typeof setTimeout> | undefined;
    let expected = 0;
    let over = false;

    const askWhole = async (): Promise<void> => {
      try {
        const view = await client.runView(run);
        if (!over) dispatch({ kind: "view", view, now: Date.now() });
      } catch {
        if (!over) dispatch({ kind: "link", link: "lost" });
      }
    };
    const take = (text: string): void => {
      const message = runMessageSchema.parse(JSON.parse(text));
      const missed = message.seq !== 0 && message.seq !== expected;
      expected = message.seq + 1;
      if (message.kind === "view") dispatch({ kind: "view", view: message.view, now: Date.now() });
      else if (message.kind === "approach") dispatch({ kind: "approach", approach: message.approach, now: Date.now() });
      else {
        over = true;
        source?.close();
        dispatch({ kind: "link", link: "ended" });
      }
      if (missed && message.kind !== "view") void askWhole();
    };
    const join = (): void => {
      expected = 0;
      source = new EventSource(paths.runStream(run));
      source.addEventListener("message", (event) => take(String(event.data)));
      source.addEventListener("error", () => {
        source?.close();
        if (over) return;
        dispatch({ kind: "link", link: "lost" });
        again = setTimeout(join, 1_500);
      });
    };
    join();
    const watch = setInterval(() => {
      const { heardAt, link, view } = latest.current;
      const shouldTalk = view !== null && view.stage !== "paused" && view.stage !== "ready" && view.stage !== "ended";
      if (shouldTalk && link === "live" && heardAt !== null && Date.now() - heardAt > quietAfter)
        dispatch({ kind: "link", link: "quiet" });
    }, 1_000);
    return () => {
      over = true;
      clearTimeout(again);
      clearInterval(watch);
      source?.close();
    };
  }, [run]);

  return state;
};

import { useEffect, useReducer } from "react";
import { liveMessageSchema, paths, problemSchema, type InstrumentQuestion, type LiveMessage } from "#contract";
import { wordsOf } from "../station.ts";
import { hearLive, lineCutter, nothingHeard, type LiveState } from "./live-state.ts";

type Happening =
  | { readonly kind: "message"; readonly message: LiveMessage; readonly now: number }
  | { readonly kind: "lost"; readonly why: string }
  | { readonly kind: "forget" };

const follow = (state: LiveState, happening: Happening): LiveState => {
  switch (happening.kind) {
    case "message":
      return hearLive(state, happening.message, happening.now);
    case "lost":
      return state.link === "ended" ? state : { ...state, link: "lost", why: happening.why };
    case "forget":
      return nothingHeard;
  }
};

/** Reads the stream to its end; each line is a message. */
const read = async (
  question: InstrumentQuestion,
  signal: AbortSignal,
  hear: (message: LiveMessage) => void,
): Promise<string | null> => {
  const answer = await fetch(paths.benchLive, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(question),
    signal,
  });
  if (!answer.ok || answer.body === null) {
    const problem = problemSchema.safeParse(await answer.json());
    return problem.success ? problem.data.error.message : `The station answered with status ${answer.status}.`;
  }
  const cut = lineCutter();
  const reader = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  for (let next = await reader.read(); !next.done; next = await reader.read())
    for (const line of cut(next.value)) hear(liveMessageSchema.parse(JSON.parse(line)));
  return null;
};

/** Live values of an instrument while the page shows them; the station lets it go when the page leaves. */
export const useLiveValues = ({ entry, at, unit, input }: InstrumentQuestion): LiveState => {
  const [state, dispatch] = useReducer(follow, nothingHeard);
  useEffect(() => {
    const leaving = new AbortController();
    dispatch({ kind: "forget" });
    const question = { entry, at, ...(unit === undefined ? {} : { unit }), ...(input === undefined ? {} : { input }) };
    read(question, leaving.signal, (message) => dispatch({ kind: "message", message, now: Date.now() })).then(
      (why) => {
        if (!leaving.signal.aborted) dispatch({ kind: "lost", why: why ?? "The station has ended the conversation." });
      },
      (error: unknown) => {
        if (!leaving.signal.aborted) dispatch({ kind: "lost", why: wordsOf(error) });
      },
    );
    return () => leaving.abort();
  }, [entry, at, unit, input]);
  return state;
};

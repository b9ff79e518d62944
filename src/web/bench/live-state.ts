import type { InstrumentValue, LiveMessage } from "#contract";

export interface LiveState {
  /** `ended`: the station let the instrument go, and `why` says for what. `lost`: the station itself does not answer. */
  readonly link: "joining" | "live" | "ended" | "lost";
  readonly said: string | null;
  /** Why the instrument does not say what it is. */
  readonly trouble: string | null;
  readonly values: readonly InstrumentValue[];
  /** When the last values came, ms on this machine's clock. */
  readonly heardAt: number | null;
  readonly why: string | null;
}

export const nothingHeard: LiveState = {
  link: "joining",
  said: null,
  trouble: null,
  values: [],
  heardAt: null,
  why: null,
};

/** What is known after a message. Values that came before a trouble stay until others come: their age is shown. */
export const hearLive = (state: LiveState, message: LiveMessage, now: number): LiveState => {
  switch (message.kind) {
    case "said":
      return { ...state, link: "live", said: message.said ?? state.said, trouble: message.fault?.message ?? null };
    case "values":
      return { ...state, link: "live", trouble: null, values: message.values, heardAt: now };
    case "ended":
      return { ...state, link: "ended", why: message.why };
  }
};

/** Cuts text that comes in pieces into lines; what has no end yet waits for the next piece. */
export const lineCutter = (): ((piece: string) => readonly string[]) => {
  let rest = "";
  return (piece) => {
    const lines = (rest + piece).split("\n");
    rest = lines.pop() ?? "";
    return lines.filter((line) => line !== "");
  };
};

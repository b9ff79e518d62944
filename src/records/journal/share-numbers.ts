import type { EventDraft, RunEvent } from "#calibration";
import { canonicalJson } from "../chain/canonical-json.ts";
import type { Share } from "./group-commit.ts";
import { numberEvents, type LogEnd } from "./number-events.ts";

export interface NumberedShares {
  readonly shares: readonly Share<readonly RunEvent[]>[];
  readonly events: readonly RunEvent[];
  /** The canonical text of each event. */
  readonly texts: readonly string[];
  readonly end: LogEnd;
}

/** The run that drafts open; for a log that has no run yet and is not given one, only the sentence needs a name. */
const openedRun = (drafts: readonly EventDraft[]): string => {
  const [first] = drafts;
  return first?.kind === "run-opened" ? first.run : "(not opened)";
};

/** Numbers several callers' drafts one after the other. Who asks for what may not stand there is refused alone. */
export const shareNumbers = (
  run: string | null,
  from: LogEnd,
  requests: readonly (readonly EventDraft[])[],
): NumberedShares => {
  const shares: Share<readonly RunEvent[]>[] = [];
  const events: RunEvent[] = [];
  const texts: string[] = [];
  let end = from;
  let known = run;
  for (const drafts of requests) {
    try {
      const name = known ?? openedRun(drafts);
      const next = numberEvents(end, drafts, name);
      const written = next.map((event) => canonicalJson(event));
      events.push(...next);
      texts.push(...written);
      const last = next.at(-1);
      if (last !== undefined) {
        end = { events: last.n + 1, at: last.at };
        known = name;
      }
      shares.push({ answer: next });
    } catch (thrown) {
      shares.push({ refused: thrown });
    }
  }
  return { shares, events, texts, end };
};

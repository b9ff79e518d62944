import { once } from "node:events";
import type { ServerResponse } from "node:http";
import type { LiveMessage } from "#contract";

/** Where live values go, one after the other, as fast as the reader takes them. */
export interface ValueReader {
  /** Aborted when the reader has gone. */
  readonly left: AbortSignal;
  say(message: LiveMessage): void;
  /** Resolves when the reader has taken what was said, or has gone. */
  ready(): Promise<void>;
}

/** Writes messages as JSON Lines until the work is over. The reader leaves by closing the connection. */
export const streamValues = async (
  response: ServerResponse,
  work: (reader: ValueReader) => Promise<void>,
): Promise<void> => {
  const gone = new AbortController();
  response.once("close", () => gone.abort());
  response.once("error", () => gone.abort());
  let begun = false;
  const begin = (): void => {
    if (begun) return;
    begun = true;
    response.writeHead(200, {
      "content-type": "application/jsonl; charset=utf-8",
      "cache-control": "no-store",
      "x-accel-buffering": "no",
    });
  };
  const said = (message: LiveMessage): void => {
    if (gone.signal.aborted) return;
    begin();
    response.write(`${JSON.stringify(message)}\n`);
  };
  await work({
    left: gone.signal,
    say: said,
    ready: async () => {
      if (!response.writableNeedDrain || gone.signal.aborted) return;
      await once(response, "drain", { signal: gone.signal }).catch(() => undefined);
    },
  });
  begin();
  response.end();
};

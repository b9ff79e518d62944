import { open } from "node:fs/promises";
import type { EventDraft, RunEvent, RunOpened } from "#calibration";

/** stand-in */
export const createFileJournal = async (path: string, opened: RunOpened | null, next: number) => {
  const file = await open(path, opened === null ? "a" : "wx");
  let n = next;
  if (opened !== null) {
    await file.write(`${JSON.stringify(opened)}\n`);
    await file.sync();
  }
  return {
    async append(drafts: readonly EventDraft[]): Promise<readonly RunEvent[]> {
      const events = drafts.map((draft, i) => ({ ...draft, n: n + i }) as RunEvent);
      await file.write(events.map((e) => `${JSON.stringify(e)}\n`).join(""));
      await file.sync();
      n += events.length;
      return events;
    },
    close: () => file.close(),
  };
};

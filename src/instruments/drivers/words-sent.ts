import type { QuestionEntry } from "./question-entry.ts";

/** Everything that an entry of questions may send, with its placeholders, in the order of the entry. */
export const wordsSent = (entry: QuestionEntry): readonly string[] => {
  const { adjust, output, probe, setPoint } = entry;
  return [
    entry.identify.ask,
    ...entry.onConnect,
    entry.errors?.ask,
    ...Object.values(entry.read).map(({ ask }) => ask),
    probe?.ask,
    setPoint?.tell,
    setPoint?.readBack.ask,
    output?.on,
    output?.off,
    output?.readBack.ask,
    adjust?.unlock,
    ...[adjust?.zero, adjust?.span].flatMap((setting) => [setting?.tell, setting?.readBack.ask]),
    adjust?.lock,
  ].filter((text) => text !== undefined);
};

/** One entry of an instrument's error queue, as `SYSTem:ERRor?` answers it (SCPI-1999 21.8.8). Code 0: the queue is empty. */
export interface ErrorEntry {
  readonly code: number;
  readonly text: string;
}

const entry = /^([+-]?\d{1,6})\s*,\s*"((?:[^"]|"")*)"$/;

/** Reads `-113,"Undefined header"`; two quotes inside stand for one. Null for anything else. */
export const parseErrorEntry = (line: string): ErrorEntry | null => {
  const match = entry.exec(line.trim());
  if (match === null) return null;
  return { code: Number(match[1]), text: match[2]!.replaceAll('""', '"') };
};

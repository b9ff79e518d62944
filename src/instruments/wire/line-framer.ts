import { decodeText } from "./latin-text.ts";

export interface LineFramer {
  /** Takes a piece and gives the lines that it completed, without their ends. */
  push(piece: Uint8Array): readonly string[];
  /** What has come of a line that is not ended yet. */
  pending(): string;
  /** Forgets the unfinished line. */
  clear(): void;
}

/**
 * Cuts a stream of bytes into lines at LF; a CR before it belongs to the end of the line (IEEE 488.2 7.5 asks for LF;
 * serial instruments often send CR LF). Where the pieces were cut makes no difference. A line longer than `longest`
 * characters is junk from an instrument that went wild: its beginning is given as a line, so that memory stays bounded
 * and the reader sees something it will refuse.
 */
export const lineFramer = (longest = 65_536): LineFramer => {
  let rest = "";
  return {
    push(piece) {
      const lines: string[] = [];
      rest += decodeText(piece);
      for (let end = rest.indexOf("\n"); end >= 0; end = rest.indexOf("\n")) {
        const line = rest.slice(0, end);
        rest = rest.slice(end + 1);
        lines.push(line.endsWith("\r") ? line.slice(0, -1) : line);
      }
      while (rest.length > longest) {
        lines.push(rest.slice(0, longest));
        rest = rest.slice(longest);
      }
      return lines;
    },
    pending: () => rest,
    clear: () => {
      rest = "";
    },
  };
};

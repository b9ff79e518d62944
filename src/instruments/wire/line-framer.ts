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
 * and the reader sees something it will refuse. With `end` "cr" a CR alone ends a line too, and an LF after it is blank.
 */
export const lineFramer = (longest = 65_536, end: "lf" | "cr" = "lf"): LineFramer => {
  let rest = "";
  const mark = end === "cr" ? /\r\n?|\n/ : /\r?\n/;
  /** The piece ended with a CR that ended a line: an LF that follows belongs to it. */
  let afterReturn = false;
  return {
    push(piece) {
      const lines: string[] = [];
      const text = decodeText(piece);
      rest += afterReturn && text.startsWith("\n") ? text.slice(1) : text;
      if (text !== "") afterReturn = end === "cr" && text.endsWith("\r");
      for (let found = mark.exec(rest); found !== null; found = mark.exec(rest)) {
        lines.push(rest.slice(0, found.index));
        rest = rest.slice(found.index + found[0].length);
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

import { createHash } from "node:crypto";
import type { RunEvent } from "#calibration";
import { canonicalText, type Json } from "../document/canonical-json.ts";

/**
 * SHA-256 of a run log, in lower-case hexadecimal: over the canonical JSON (RFC 8785) of each event, each ended by a line
 * feed, so that neither the order of keys nor white space in the file changes it.
 */
export const logHash = (log: readonly RunEvent[]): string => {
  const hash = createHash("sha256");
  for (const event of log) hash.update(`${canonicalText(event as unknown as Json)}\n`);
  return hash.digest("hex");
};

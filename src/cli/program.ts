import { readFileSync } from "node:fs";
import { join } from "node:path";

/** What the log and the station call this program; the version stands once, in package.json. */
export const programOf = (home: string): { name: string; version: string } => {
  const manifest: unknown = JSON.parse(readFileSync(join(home, "package.json"), "utf8"));
  const version =
    typeof manifest === "object" && manifest !== null && "version" in manifest ? String(manifest.version) : "unknown";
  return { name: "dwellpoint", version };
};

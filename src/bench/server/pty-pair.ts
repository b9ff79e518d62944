import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Fault } from "#fault";

/** Two ends of a line that looks like a serial one to both programs. */
export interface PtyPair {
  /** The end for the program that asks. */
  readonly outer: string;
  /** The end for the simulated instrument. */
  readonly inner: string;
  close(): Promise<void>;
}

const missing = () =>
  new Fault(
    "usage.wrong",
    "Simulated serial lines need the program socat (Debian: apt-get install socat). Install it, or use sockets.",
  );

/**
 * Makes a pair of pseudo-terminals with the program socat; Node has none of its own. `folder` is where the two ends are
 * named; a new one where nothing is said. Throws a Fault where the program is missing.
 */
export const openPtyPair = async (named?: string): Promise<PtyPair> => {
  const folder = named ?? (await mkdtemp(join(tmpdir(), "dwellpoint-line-")));
  const [outer, inner] = [join(folder, "outer"), join(folder, "inner")];
  const child = spawn("socat", [`pty,raw,echo=0,link=${outer}`, `pty,raw,echo=0,link=${inner}`], { stdio: "ignore" });
  let failed: Error | null = null;
  child.once("error", (error) => {
    failed = error;
  });
  const gone = new Promise<void>((resolve) => {
    child.once("exit", () => resolve());
    child.once("error", () => resolve());
  });
  const close = async () => {
    child.kill();
    await gone;
    // A folder that somebody else named is theirs; what is in it was this pair's.
    if (named === undefined) await rm(folder, { recursive: true, force: true });
    else await Promise.all([outer, inner].map((end) => rm(end, { force: true })));
  };
  for (let tries = 0; tries < 400; tries += 1) {
    if (existsSync(outer) && existsSync(inner)) return { outer, inner, close };
    if (failed !== null) break;
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  await close();
  throw missing();
};

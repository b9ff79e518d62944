import { execFileSync } from "node:child_process";
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const refuses = (folder: string): boolean => {
  try {
    writeFileSync(join(folder, "probe"), "");
    return false;
  } catch {
    return true;
  }
};

const tryMount = (folder: string): boolean => {
  try {
    execFileSync("mount", ["-t", "tmpfs", "-o", "ro", "tmpfs", folder], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
};

/**
 * A folder in which nobody can write, whoever runs the test: by its rights; for root, whom rights do not stop, a disk
 * mounted read-only, or, where mounting is not allowed, the kernel's own folder. It makes sure before it answers.
 */
export class ReadOnlyFolder implements Disposable {
  readonly path: string;
  readonly #made: string;
  readonly #mounted: boolean;

  constructor() {
    this.#made = mkdtempSync(join(tmpdir(), "dwellpoint-read-only-"));
    chmodSync(this.#made, 0o555);
    this.#mounted = !refuses(this.#made) && tryMount(this.#made);
    this.path = refuses(this.#made) ? this.#made : "/proc/self";
    if (!refuses(this.path)) throw new Error("No folder was found here that refuses to be written.");
  }

  [Symbol.dispose](): void {
    if (this.#mounted) execFileSync("umount", [this.#made]);
    else chmodSync(this.#made, 0o755);
    rmSync(this.#made, { recursive: true });
  }
}

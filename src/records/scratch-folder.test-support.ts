import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** A folder for one test, gone with it. */
export class ScratchFolder implements Disposable {
  readonly path = mkdtempSync(join(tmpdir(), "dwellpoint-records-"));

  file(name: string): string {
    return join(this.path, name);
  }

  [Symbol.dispose](): void {
    rmSync(this.path, { recursive: true, force: true });
  }
}

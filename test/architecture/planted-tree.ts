import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

export const projectRoot = resolve(dirname(fileURLToPath(import.meta.url)), "../..");

export interface Answer {
  readonly ok: boolean;
  readonly words: string;
}

/** A small tree with the project's own rules and planted files, in which a check must fail. Removed when disposed. */
export class PlantedTree implements Disposable {
  readonly root = mkdtempSync(join(tmpdir(), "dwellpoint-planted-"));

  constructor(files: Readonly<Record<string, string>>) {
    for (const name of [
      "package.json",
      "tsconfig.base.json",
      "tsconfig.pure.json",
      "tsconfig.node.json",
      ".oxlintrc.json",
      ".dependency-cruiser.mjs",
      "scripts/rooms.ts",
    ]) {
      mkdirSync(dirname(join(this.root, name)), { recursive: true });
      cpSync(join(projectRoot, name), join(this.root, name));
    }
    symlinkSync(join(projectRoot, "node_modules"), join(this.root, "node_modules"));
    for (const [name, text] of Object.entries(files)) {
      mkdirSync(dirname(join(this.root, name)), { recursive: true });
      writeFileSync(join(this.root, name), text);
    }
  }

  run(program: string, ...words: readonly string[]): Answer {
    const done = spawnSync(join(projectRoot, "node_modules/.bin", program), words, {
      cwd: this.root,
      encoding: "utf8",
    });
    if (done.error !== undefined) throw done.error;
    return { ok: done.status === 0, words: done.stdout + done.stderr };
  }

  [Symbol.dispose](): void {
    rmSync(this.root, { recursive: true, force: true });
  }
}

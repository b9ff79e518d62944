import { execFileSync } from "node:child_process";

/**
 * While it lasts, no file of this process can grow beyond `bytes`: the system refuses the write half-way, as a full disk
 * does. Needs no rights and no disk of its own (`prlimit` of util-linux).
 */
export class FileSizeLimit implements Disposable {
  constructor(bytes: number) {
    execFileSync("prlimit", ["--pid", String(process.pid), `--fsize=${bytes}:unlimited`]);
  }

  [Symbol.dispose](): void {
    execFileSync("prlimit", ["--pid", String(process.pid), "--fsize=unlimited:unlimited"]);
  }
}

import { existsSync, unlinkSync } from "node:fs";
import { expect, it } from "vitest";
import { ProcessLock } from "./process-lock.ts";
import { ScratchFolder } from "./scratch-folder.test-support.ts";

it("is had by one at a time, and again after its release [R7]", () => {
  using folder = new ScratchFolder();
  const path = folder.file("lock");
  const lock = ProcessLock.take(path);
  expect(lock).not.toBeNull();
  expect(ProcessLock.take(path)).toBeNull();
  lock!.release({ remove: false });
  const again = ProcessLock.take(path);
  expect(again).not.toBeNull();
  again!.release({ remove: true });
  expect(existsSync(path)).toBe(false);
});

it("counts for the name, not for a file that was removed [R7]", () => {
  using folder = new ScratchFolder();
  const path = folder.file("lock");
  const orphaned = ProcessLock.take(path)!;
  unlinkSync(path);
  const lock = ProcessLock.take(path);
  expect(lock).not.toBeNull();
  expect(ProcessLock.take(path)).toBeNull();
  orphaned.release({ remove: false });
  expect(ProcessLock.take(path)).toBeNull();
  lock!.release({ remove: true });
});

import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import { sampleRun } from "../fixtures/sample-run.test-support.ts";
import { logHash } from "./log-hash.ts";

test("does not depend on the order of keys, and does on every value and on the order of lines", () => {
  const { log } = sampleRun();
  const reversed = log.map((event) => Object.fromEntries(Object.entries(event).toReversed()) as typeof event);
  expect(logHash(reversed)).toBe(logHash(log));
  expect(logHash(log.map((event, n) => (n === 3 ? { ...event, at: event.at + 1 } : event)) as typeof log)).not.toBe(
    logHash(log),
  );
  expect(logHash(log.toReversed())).not.toBe(logHash(log));
  expect(logHash(log.slice(0, -1))).not.toBe(logHash(log));
});

test("is the SHA-256 of the lines as anybody can make them", () => {
  const event = { kind: "pass-begun", n: 1, at: 2.5, pass: "as-found" } as const;
  const line = '{"at":2.5,"kind":"pass-begun","n":1,"pass":"as-found"}\n';
  expect(logHash([event])).toBe(createHash("sha256").update(line).digest("hex"));
});

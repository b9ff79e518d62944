import { defineConfig } from "vitest/config";

/** The journeys: a real station, a real browser. Plain Node tests that drive a Chrome or Chromium; one after the other. */
export default defineConfig({
  test: {
    include: ["test/journeys/**/*.test.ts"],
    testTimeout: 120_000,
    hookTimeout: 60_000,
    pool: "forks",
    maxWorkers: 1,
    fileParallelism: false,
    reporters: ["default"],
  },
});

import { defineConfig } from "vitest/config";

/** The tests of the four numeric rooms, for mutation testing: every mutant is met by the rooms' own proofs alone. */
export default defineConfig({
  test: {
    include: ["src/{numerics,thermometry,uncertainty,calibration}/**/*.test.ts"],
    testTimeout: 30_000,
    pool: "threads",
  },
});

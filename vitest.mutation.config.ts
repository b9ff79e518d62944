import { defineConfig } from "vitest/config";

/**
 * For mutation testing (scripts/mutation.ts): a mutant is met by the proofs of its own room alone. Modules are shared between
 * test files, because starting each anew costs more than the tests do. Tests named *.long.test.ts are left out.
 */
export default defineConfig({
  test: {
    include: [`src/${process.env["MUTATED_ROOM"] ?? "{numerics,thermometry,uncertainty,calibration}"}/**/*.test.ts`],
    exclude: ["**/*.long.test.ts"],
    setupFiles: ["scripts/mutation-setup.ts"],
    testTimeout: 60_000,
    pool: "threads",
    isolate: false,
  },
});

import { defineConfig } from "vitest/config";

const room = process.env["MUTATED_ROOM"] ?? "{numerics,thermometry,uncertainty,calibration}";

export default defineConfig({
  test: {
    include: [`src/${room}/**/*.test.ts`],
    exclude: ["**/*.long.test.ts"],
    setupFiles: ["scripts/mutation/setup.ts"],
    testTimeout: 60_000,
    pool: "threads",
    isolate: false,
  },
});

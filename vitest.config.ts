import { defineConfig } from "vitest/config";

/** Unit, property, golden and integration tests. The browser journeys have their own file: `vitest.browser.config.ts`. */
export default defineConfig({
  test: {
    include: ["src/**/*.test.ts", "scripts/**/*.test.ts", "test/**/*.test.ts"],
    exclude: ["test/journeys/**", "**/node_modules/**"],
    testTimeout: 30_000,
    pool: "forks",
    maxWorkers: 2,
    reporters: ["default"],
  },
});

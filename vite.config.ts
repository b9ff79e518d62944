import { fileURLToPath } from "node:url";
import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";
import { singlePage } from "./scripts/single-page.ts";

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  root: at("./src/web"),
  plugins: [react(), singlePage({ from: at("./src/certificates/page"), page: "verify.html", to: at("./build/web") })],
  build: {
    outDir: at("./build/web"),
    emptyOutDir: true,
    // No inlined data: the station's content policy allows fonts and pictures from itself, and caching does the rest.
    assetsInlineLimit: 0,
    target: "es2022",
    chunkSizeWarningLimit: 900,
  },
  server: { proxy: { "/api": process.env.DWELLPOINT_STATION ?? "http://127.0.0.1:8470" } },
});

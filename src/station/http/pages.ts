import { existsSync } from "node:fs";
import { join } from "node:path";
import fastifyStatic from "@fastify/static";
import { sendNoSuchPath } from "./problems.ts";
import type { Server } from "./server.ts";

const notBuilt = `<!doctype html><html lang="en"><meta charset="utf-8"><title>Dwellpoint</title>
<p>The station is running, but its pages are not built. Run <code>npm run build:web</code> in its folder and load this page again.
The API works: <a href="/api/openapi.json">/api/openapi.json</a>.</p></html>`;

/**
 * The built pages from `folder`. Addresses inside the pages (`/jobs/…`) all answer the one page, which reads the address
 * itself; only what begins with `/api/` or names a file with an ending can be missing.
 */
export const servePages = async (server: Server, folder: string | null): Promise<void> => {
  const built = folder !== null && existsSync(join(folder, "index.html"));
  if (built) {
    await server.register(fastifyStatic, {
      root: folder,
      wildcard: false,
      // Names in assets/ carry a hash of their content, so they may be kept for good; the page itself may not.
      setHeaders: (response, path) => {
        const kept = path.includes("/assets/") ? "public, max-age=31536000, immutable" : "no-cache";
        response.header("cache-control", kept);
      },
    });
  }
  server.setNotFoundHandler((request, reply) => {
    const path = request.url.split("?")[0] ?? "/";
    const isPage =
      (request.method === "GET" || request.method === "HEAD") &&
      !path.startsWith("/api/") &&
      !/\.[a-z0-9]+$/i.test(path);
    if (!isPage) return sendNoSuchPath(request, reply);
    if (!built) return reply.code(503).type("text/html; charset=utf-8").send(notBuilt);
    return reply.header("cache-control", "no-cache").sendFile("index.html");
  });
};

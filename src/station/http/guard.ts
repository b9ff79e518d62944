import { isIP } from "node:net";
import { hostname } from "node:os";
import type { FastifyInstance, FastifyRequest } from "fastify";
import { Fault } from "#fault";

/**
 * Pages are served from here alone, nothing is loaded from elsewhere. Styles may stand in the page, because the component
 * library and the charts set them on elements.
 */
const contentPolicy = [
  "default-src 'self'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "font-src 'self' data:",
  "connect-src 'self'",
  "frame-src 'self' blob:",
  "object-src 'self' blob:",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'self'",
].join("; ");

const headers: Readonly<Record<string, string>> = {
  "content-security-policy": contentPolicy,
  "x-content-type-options": "nosniff",
  "x-frame-options": "SAMEORIGIN",
  "referrer-policy": "no-referrer",
  "cross-origin-opener-policy": "same-origin",
  "cross-origin-resource-policy": "same-origin",
  "permissions-policy": "camera=(), geolocation=(), microphone=()",
};

const nameOf = (host: string): string => {
  const bracketed = /^\[([^\]]*)\](?::\d+)?$/.exec(host);
  return (bracketed?.[1] ?? host.replace(/:\d+$/, "")).toLowerCase();
};

const loopbackNames = new Set(["localhost", "127.0.0.1", "::1"]);
const isLoopback = (name: string): boolean => loopbackNames.has(name) || name.startsWith("127.");

/**
 * Whether the name by which the station was called can only have been meant for it. A foreign page can make a browser
 * call a name of its own that leads to this machine (DNS rebinding); such a name is neither an address nor ours.
 */
export const hostIsOurs = (host: string | undefined, boundTo: string): boolean => {
  if (host === undefined || host === "") return false;
  const name = nameOf(host);
  if (isLoopback(name)) return true;
  if (isLoopback(boundTo.toLowerCase())) return false;
  const own = hostname().toLowerCase();
  return (
    isIP(name) !== 0 ||
    name === boundTo.toLowerCase() ||
    name === own ||
    name === `${own}.local` ||
    name.startsWith(`${own}.`)
  );
};

const safeMethods = new Set(["GET", "HEAD", "OPTIONS"]);

const isForeign = (request: FastifyRequest): boolean => {
  const { origin, host } = request.headers;
  const site = request.headers["sec-fetch-site"];
  if (site === "cross-site" || site === "same-site") return true;
  if (origin === undefined) return false;
  try {
    return new URL(origin).host !== host;
  } catch (error) {
    // "null" is the origin of sandboxed and local pages: foreign, as any text that is not an address.
    if (error instanceof TypeError) return true;
    throw error;
  }
};

/** Puts the security headers on every answer and turns away what was not sent by the station's own pages or by a program. */
export const guard = (server: FastifyInstance, boundTo: string): void => {
  server.addHook("onRequest", async (request, reply) => {
    reply.headers(headers);
    if (!hostIsOurs(request.headers.host, boundTo)) {
      throw new Fault(
        "station.foreign-request",
        "The station was called by a name that is not its own. Open it by the address that it printed at its start.",
      );
    }
    if (!safeMethods.has(request.method) && isForeign(request)) {
      throw new Fault(
        "station.foreign-request",
        "Another site's page tried to change something in the station; it was refused. Work from the station's own pages.",
      );
    }
  });
};

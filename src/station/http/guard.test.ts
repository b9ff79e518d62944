import { hostname } from "node:os";
import { afterEach, describe, expect, it } from "vitest";
import { z } from "zod";
import { hostIsOurs } from "./guard.ts";
import { servePages } from "./pages.ts";
import { createServer, type Server } from "./server.ts";

const open: Server[] = [];
const started = async (): Promise<Server> => {
  const server = await createServer({ version: "0.0.0", boundTo: "127.0.0.1", trace: false });
  server.route({
    method: "POST",
    url: "/api/thing",
    schema: { body: z.object({ count: z.int() }), response: { 200: z.object({ count: z.int() }) } },
    handler: async (request) => request.body,
  });
  await servePages(server, null);
  open.push(server);
  return server;
};
afterEach(async () => {
  for (const server of open.splice(0)) await server.close();
});

const post = (headers: Record<string, string>, payload: string) => ({
  method: "POST" as const,
  url: "/api/thing",
  headers: { host: "127.0.0.1:8470", "content-type": "application/json", ...headers },
  payload,
});

describe("the names by which a station may be called", () => {
  it.each([
    ["127.0.0.1:8470", "127.0.0.1", true],
    ["localhost:8470", "127.0.0.1", true],
    ["[::1]:8470", "127.0.0.1", true],
    ["rebound.example:8470", "127.0.0.1", false],
    ["192.0.2.7:8470", "127.0.0.1", false],
    ["192.0.2.7:8470", "0.0.0.0", true],
    [`${hostname()}:8470`, "0.0.0.0", true],
    ["rebound.example", "0.0.0.0", false],
    ["workshop.example", "workshop.example", true],
    [undefined, "127.0.0.1", false],
  ])("%s on a station bound to %s: %s", (host, boundTo, allowed) => {
    expect(hostIsOurs(host, boundTo)).toBe(allowed);
  });
});

describe("what the server turns away", () => {
  it("refuses a name that is not its own, also for reading", async () => {
    const server = await started();
    const answer = await server.inject({
      method: "GET",
      url: "/api/openapi.json",
      headers: { host: "rebound.example" },
    });
    expect(answer.statusCode).toBe(403);
    expect(answer.json().error.code).toBe("station.foreign-request");
  });

  it.each([
    { origin: "https://elsewhere.example" },
    { origin: "null" },
    { origin: "http://127.0.0.1:9999" },
    { "sec-fetch-site": "cross-site" },
  ] as Record<string, string>[])("refuses a change sent by another site's page (%o)", async (headers) => {
    const server = await started();
    const answer = await server.inject(post(headers, '{"count":1}'));
    expect(answer.statusCode).toBe(403);
    expect(answer.json().error.message).toContain("Another site's page");
  });

  it("takes a change from its own page and from a program without an origin", async () => {
    const server = await started();
    expect((await server.inject(post({ origin: "http://127.0.0.1:8470" }, '{"count":1}'))).statusCode).toBe(200);
    expect((await server.inject(post({}, '{"count":2}'))).json()).toEqual({ count: 2 });
  });
});

describe("the one error shape", () => {
  it("names the field that cannot be used", async () => {
    const server = await started();
    const answer = await server.inject(post({}, '{"count":"many"}'));
    expect(answer.statusCode).toBe(400);
    const { error } = answer.json();
    expect(error.code).toBe("input.invalid");
    expect(error.message).toContain('"count"');
    expect(error.data.fields[0].path).toBe("count");
  });

  it("says what is wrong with a body that is not JSON, too large or of another kind", async () => {
    const server = await started();
    const broken = await server.inject(post({}, "{count"));
    expect([broken.statusCode, broken.json().error.code]).toEqual([400, "input.malformed"]);
    const large = await server.inject(post({}, `{"count":${"1".repeat(3_000_000)}}`));
    expect([large.statusCode, large.json().error.code]).toEqual([413, "input.malformed"]);
    const other = await server.inject(post({ "content-type": "application/x-www-form-urlencoded" }, "count=1"));
    expect([other.statusCode, other.json().error.code]).toEqual([415, "input.malformed"]);
  });

  it("answers an unknown path of the API with 404 and the same shape", async () => {
    const server = await started();
    const answer = await server.inject({ method: "GET", url: "/api/nothing", headers: { host: "localhost" } });
    expect(answer.statusCode).toBe(404);
    expect(answer.json().error).toMatchObject({ code: "records.not-found" });
  });

  it("carries the security headers on every answer", async () => {
    const server = await started();
    const answer = await server.inject({ method: "GET", url: "/api/nothing", headers: { host: "localhost" } });
    expect(answer.headers["content-security-policy"]).toContain("default-src 'self'");
    expect(answer.headers["x-content-type-options"]).toBe("nosniff");
  });
});

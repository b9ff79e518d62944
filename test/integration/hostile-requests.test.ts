import { mkdir, readFile, writeFile } from "node:fs/promises";
import { request } from "node:http";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { openRecords } from "#records";
import { exampleText, removeScratch, scratch } from "./program.test-support.ts";
import { sampleOf, type Schema } from "./sample-of.test-support.ts";
import { startStation, type StartedStation } from "./station.test-support.ts";

interface Operation {
  readonly parameters?: readonly { readonly name: string; readonly in: "path" | "query"; readonly schema?: Schema }[];
  readonly requestBody?: { readonly content?: Readonly<Record<string, { readonly schema?: Schema }>> };
}
type Paths = Readonly<Record<string, Readonly<Record<string, Operation>>>>;

const seed = 20261125;
const each = 40;

/** What is said of an answer that is none of the station's business to give. */
interface Answer {
  readonly asked: string;
  readonly status: number;
  readonly text: string;
}

const written = (value: unknown): string => (typeof value === "string" ? value : (JSON.stringify(value) ?? ""));

/** Asks for a path exactly as it is written: a client that thinks for itself would take the dots out. */
const rawGet = (address: string, path: string): Promise<Answer> =>
  new Promise((resolve, reject) => {
    const { hostname, port } = new URL(address);
    const asked = request({ hostname, port, path, method: "GET" }, (answer) => {
      const parts: Buffer[] = [];
      answer.on("data", (part: Buffer) => parts.push(part));
      answer.on("end", () =>
        resolve({ asked: path, status: answer.statusCode ?? 0, text: Buffer.concat(parts).toString("utf8") }),
      );
    });
    asked.on("error", reject);
    asked.end();
  });

describe("requests of any kind to every route of the API's own description", () => {
  let station: StartedStation;
  let paths: Paths;
  const known: string[] = [];

  beforeAll(async () => {
    const folder = await scratch();
    await writeFile(join(folder, "secret.txt"), "kept to itself");
    await mkdir(join(folder, "pages/assets"), { recursive: true });
    await writeFile(join(folder, "pages/index.html"), "<!doctype html><title>pages</title>");
    const records = await openRecords(join(folder, "data"));
    const run = await records.importLog(
      await readFile(new URL("../fixtures/uncertainty/worked-run.jsonl", import.meta.url), "utf8"),
    );
    await records.close();
    station = await startStation(join(folder, "data"), {
      serialPorts: async () => [],
      pages: join(folder, "pages"),
    });
    const { client } = station;
    const { job } = await client.addJob(await exampleText("pt100-four-wire"));
    const { number } = await client.issue(run, { authorisedBy: "test" });
    known.push(job, run, number, "item-1", "reference", "scpi-heat-source", "trace-1", "ref-7");
    ({ paths } = (await (await station.fetch("/api/openapi.json")).json()) as { paths: Paths });
  }, 60_000);
  afterAll(async () => {
    await station.stop();
    await removeScratch();
  });

  /** Sends one request; a stream is left after its first bytes. */
  const send = async (path: string, init: RequestInit): Promise<Answer> => {
    const enough = new AbortController();
    let timedOut = false;
    const timer = setTimeout(() => {
      timedOut = true;
      enough.abort();
    }, 20_000);
    const asked = `${init.method} ${path} ${typeof init.body === "string" ? init.body.slice(0, 300) : ""}`;
    try {
      const answer = await station.fetch(path, { ...init, signal: enough.signal });
      const isStream = /event-stream|jsonl/.test(answer.headers.get("content-type") ?? "");
      const text = isStream ? "" : (await answer.text()).slice(0, 500);
      enough.abort();
      return { asked, status: answer.status, text };
    } catch (error) {
      // No answer within the time is as bad as one of the 500s.
      if (timedOut) return { asked, status: 599, text: "no answer within 20 s" };
      throw error;
    } finally {
      clearTimeout(timer);
    }
  };

  it(`gives no answer of the 500s, ${each} requests a route, and goes on answering (seed ${seed})`, async () => {
    const chance = seededGenerator(seed);
    const wrong: Answer[] = [];
    let sent = 0;
    let well = 0;
    for (const [path, methods] of Object.entries(paths)) {
      for (const [method, operation] of Object.entries(methods)) {
        for (let turn = 0; turn < each; turn += 1) {
          // From nearly right to quite wild.
          const wildness = (turn / each) * 0.3;
          const value = (schema: Schema | undefined): unknown => sampleOf(schema ?? {}, chance, known, wildness);
          const place = path.replaceAll(/\{([^}]+)\}/g, (_, name: string) =>
            encodeURIComponent(
              written(value(operation.parameters?.find((each) => each.in === "path" && each.name === name)?.schema)),
            ),
          );
          const asked = (operation.parameters ?? [])
            .filter((parameter) => parameter.in === "query" && chance.next() < 0.8)
            .map(({ name, schema }) => `${name}=${encodeURIComponent(written(value(schema)))}`);
          const content = Object.entries(operation.requestBody?.content ?? {});
          const [type, body] = content[Math.floor(chance.next() * content.length)] ?? [];
          const sample = body === undefined ? undefined : value(body.schema);
          const answer = await send(`${place}${asked.length === 0 ? "" : `?${asked.join("&")}`}`, {
            method: method.toUpperCase(),
            ...(type === undefined
              ? {}
              : {
                  headers: { "content-type": type },
                  body: typeof sample === "string" && type !== "application/json" ? sample : JSON.stringify(sample),
                }),
          });
          sent += 1;
          if (answer.status < 400) well += 1;
          if (answer.status >= 500) wrong.push(answer);
        }
      }
    }
    expect(wrong).toEqual([]);
    // The requests are not all turned away at the door.
    expect(sent).toBeGreaterThan(1000);
    expect(well).toBeGreaterThan(sent / 20);
    expect(await station.client.station()).toMatchObject({ name: "test" });
  }, 240_000);

  it.each([
    "/../secret.txt",
    "/..%2fsecret.txt",
    "/%2e%2e/%2e%2e/secret.txt",
    "/assets/..%2f..%2fsecret.txt",
    "/assets/....//secret.txt",
    "/..%5csecret.txt",
    "/%00",
    "/api/certificates/..%2f..%2frecords.sqlite.pdf",
    "/api/runs/..%2F..%2Fetc%2Fpasswd/log",
  ])("takes no path out of its folders: %s", async (path) => {
    const { status, text } = await rawGet(station.address, path);
    expect(status).toBeLessThan(500);
    expect(text).not.toMatch(/kept to itself|root:|SQLite format/);
  });

  it("turns away what another site's page sends, and what is too large", async () => {
    const foreign = {
      method: "POST",
      headers: { origin: "http://elsewhere.example", "content-type": "application/json" },
      body: "{}",
    };
    expect((await send("/api/traces", foreign)).status).toBe(403);
    const large = { method: "POST", headers: { "content-type": "text/plain" }, body: "x".repeat(3_000_000) };
    expect((await send("/api/jobs", large)).status).toBe(413);
  });
});

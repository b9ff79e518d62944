import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { fileURLToPath } from "node:url";

const root = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

const freePort = async (): Promise<number> => {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const address = server.address();
  server.close();
  await once(server, "close");
  if (address === null || typeof address === "string") throw new Error("No free port was given.");
  return address.port;
};

export interface StationProcess {
  readonly address: string;
  readonly data: string;
  stop(): Promise<void>;
}

/** A real station with the demo on a free port, its records in a folder that is gone afterwards. */
export const startStation = async (): Promise<StationProcess> => {
  if (!existsSync(join(root, "build/web/index.html")))
    throw new Error("The pages are not built; run npm run build:web first.");
  const port = await freePort();
  const data = mkdtempSync(join(tmpdir(), "dwellpoint-journey-"));
  const child = spawn(join(root, "bin/dwellpoint"), ["serve", "--demo", "--port", String(port), "--data", data], {
    stdio: ["ignore", "pipe", "pipe"],
    // Neither a desktop nor a browser of its own is wanted here.
    env: { ...process.env, DISPLAY: "", WAYLAND_DISPLAY: "" },
  });
  let said = "";
  const hear = (chunk: Buffer): void => {
    said += chunk.toString();
  };
  child.stdout.on("data", hear);
  child.stderr.on("data", hear);
  const address = `http://127.0.0.1:${port}`;
  const stop = async (): Promise<void> => {
    if (child.exitCode === null) {
      child.kill("SIGTERM");
      await Promise.race([once(child, "exit"), wait(5_000).then(() => child.kill("SIGKILL"))]);
    }
    rmSync(data, { recursive: true, force: true });
  };
  for (let tries = 0; tries < 300; tries += 1) {
    if (child.exitCode !== null) throw new Error(`The station ended before it answered: ${said}`);
    const answer = await fetch(`${address}/api/jobs`).catch(() => null);
    if (answer?.ok === true) return { address, data, stop };
    await wait(100);
  }
  await stop();
  throw new Error(`The station did not answer within 30 s: ${said}`);
};

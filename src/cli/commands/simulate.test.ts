import { once } from "node:events";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { connect, createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { afterAll, beforeAll, expect, it } from "vitest";
import { main } from "../main.ts";

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "simulate-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const start = (words: readonly string[]) => {
  const stop = new AbortController();
  const stdin = new PassThrough();
  const stdout = new PassThrough();
  const stderr = new PassThrough();
  const finished = main(["simulate", ...words], {
    stdin,
    stdout,
    stderr,
    environment: {},
    signal: stop.signal,
    home: join(import.meta.dirname, "../../.."),
  });
  const next = async (): Promise<unknown> => JSON.parse(String((await once(stdout, "data"))[0]));
  const said = async () =>
    (await next()) as {
      addresses: Record<string, string>;
      seed: number;
      speed: number;
    };
  const complaint = async () => {
    const code = await finished;
    return { code, error: (JSON.parse(String(stderr.read())) as { error: { code: string; message: string } }).error };
  };
  const tell = (line: string) => {
    const answer = next();
    stdin.write(`${line}\n`);
    return answer;
  };
  return { stop, finished, said, tell, complaint };
};

/** One message to an instrument, and its answer. */
const converse = async (address: string, message: string): Promise<string> => {
  const socket = connect(Number(address.split(":").at(-1)), "127.0.0.1");
  socket.write(`${message}\n`);
  const [piece] = (await once(socket, "data")) as [Buffer];
  socket.destroy();
  return piece.toString("latin1").trim();
};

it("without a file stands the demo bench up, answers, and stops when told", async () => {
  const { said, stop, finished } = start(["--speed", "100"]);
  const { addresses, seed, speed } = await said();
  expect({ seed, speed, instruments: Object.keys(addresses) }).toEqual({
    seed: 1,
    speed: 100,
    instruments: ["block", "readout", "item-3"],
  });
  expect(await converse(addresses["block"]!, "*IDN?")).toBe("Dwellpoint,simulated heat source,block,1");
  const before = Number(await converse(addresses["block"]!, "MEAS:TEMP?"));
  await converse(addresses["block"]!, "TEMP:SPO 100;:OUTP ON;*OPC?");
  await new Promise((resolve) => setTimeout(resolve, 300));
  // Half a minute of its time has gone by.
  expect(Number(await converse(addresses["block"]!, "MEAS:TEMP?"))).toBeGreaterThan(before + 5);
  expect(await converse(addresses["readout"]!, "MEAS:FRES? (@1)")).toMatch(/^\+1\d\d\.\d{4}$/);
  stop.abort();
  expect(await finished).toBe(0);
  await expect(converse(addresses["block"]!, "*IDN?")).rejects.toThrow("ECONNREFUSED");
});

const benchFile = `
instruments:
  - {id: bath, entry: scpi-heat-source, at: simulated, role: source}
channels:
  source: {instrument: bath, unit: °C}
simulation:
  source: {class: bath, start: 40}
  seed: 12
`;

it("reads a bench file; the seed on the command line comes before the file's", async () => {
  const path = join(folder, "bench.yaml");
  await writeFile(path, benchFile);
  const { said, stop, finished } = start([path, "--seed", "99"]);
  const { addresses, seed } = await said();
  expect(seed).toBe(99);
  expect(Number(await converse(addresses["bath"]!, "MEAS:TEMP?"))).toBeCloseTo(40, 0);
  stop.abort();
  await finished;
});

it("listens at the ports that a file gives its instruments on this machine, unless told otherwise", async () => {
  const probe = createServer().listen(0, "127.0.0.1");
  await once(probe, "listening");
  const bound = probe.address();
  const port = typeof bound === "object" && bound !== null ? bound.port : 0;
  probe.close();
  const path = join(folder, "ports.yaml");
  await writeFile(path, benchFile.replace("at: simulated", `at: "tcp://127.0.0.1:${port}"`));
  const { said, stop, finished } = start([path]);
  expect((await said()).addresses).toEqual({ bath: `tcp://127.0.0.1:${port}` });
  stop.abort();
  await finished;
});

it("a mistake in a bench file is told with its line", async () => {
  const path = join(folder, "wrong.yaml");
  await writeFile(path, benchFile.replace("class: bath", "class: bathh"));
  const { code, error } = await start([path]).complaint();
  expect(code).toBe(1);
  expect(error.code).toBe("job.invalid");
  expect(error.message).toMatch(
    /wrong\.yaml:7: simulation\.source\.class: expected one of bath, dry-block or furnace; found "bathh"/,
  );
});

it("a port that is taken, a missing file, a word too much: each told", async () => {
  const server = createServer().listen(0, "127.0.0.1");
  await once(server, "listening");
  const bound = server.address();
  const port = typeof bound === "object" && bound !== null ? bound.port : 0;
  expect(await start(["--port", String(port)]).complaint()).toMatchObject({
    code: 1,
    error: {
      code: "station.port-in-use",
      message: `Port ${port} on 127.0.0.1 is taken by another program. Choose another with --port, or stop that program.`,
    },
  });
  server.close();
  expect(await start(["nowhere.yaml"]).complaint()).toMatchObject({
    code: 1,
    error: { message: "The file nowhere.yaml cannot be read (ENOENT). Give the path of a job or of a bench." },
  });
  expect(await start(["a", "b"]).complaint()).toMatchObject({ code: 2, error: { code: "usage.wrong" } });
  expect(await start(["--speed", "fast"]).complaint()).toMatchObject({
    code: 2,
    error: { message: '--speed wants a number from 0.01 to 1000, not "fast".' },
  });
});

it("takes faults while it runs, a line each, and ends them", async () => {
  const { said, tell, stop, finished } = start(["--speed", "10"]);
  const { addresses } = await said();
  const reference = () => converse(addresses["readout"]!, "MEAS:FRES? (@1)");
  expect(await reference()).toMatch(/^\+1\d\d\./);
  expect(await tell('{"kind":"open-circuit","channel":"reference"}')).toEqual({ fault: 1 });
  expect(await reference()).toBe("+9.9E+37");
  expect(await tell('{"kind":"on-fire","channel":"reference"}')).toMatchObject({ error: { code: "job.invalid" } });
  expect(await tell("nonsense")).toMatchObject({ error: { code: "input.malformed" } });
  expect(await tell('{"clear":7}')).toMatchObject({ error: { message: "There is no fault 7 to clear." } });
  expect(await tell('{"clear":1}')).toEqual({ cleared: 1 });
  expect(await reference()).toMatch(/^\+1\d\d\./);
  stop.abort();
  await finished;
});

it("lists the entries that have a twin, and the faults", async () => {
  const { said, finished } = start(["--list"]);
  const list = (await said()) as unknown as {
    entries: { entry: string; dialogue: string }[];
    faults: { kind: string; on: string }[];
  };
  expect(await finished).toBe(0);
  expect(list.entries.map(({ entry, dialogue }) => `${entry} ${dialogue}`)).toEqual([
    "modbus-heat-source registers",
    "modbus-transmitter registers",
    "probe-memory-readout questions",
    "scpi-heat-source questions",
    "scpi-multimeter questions",
    "scpi-thermometer-readout questions",
    "scpi-transmitter-trim questions",
    "talk-only-line talk-only",
  ]);
  expect(list.faults).toContainEqual({ kind: "open-circuit", on: "channel" });
  expect(list.faults).toContainEqual({ kind: "slow", on: "instrument" });
});

it("plugs another probe in, and unplugs it, when a line on standard input asks for it", async () => {
  const { said, tell, stop, finished } = start(["probe-memory-readout"]);
  const { addresses, channels } = (await said()) as unknown as {
    addresses: Record<string, string>;
    channels: Record<string, { input: number }>;
  };
  const address = Object.values(addresses)[0]!;
  const [channel, { input }] = Object.entries(channels)[0]!;
  const ask = () => converse(address, `PROBe? (@${input})`);
  expect(await ask()).toBe("NONE");
  expect(await tell(JSON.stringify({ plug: channel, says: "33C0274E0C056001" }))).toEqual({
    plugged: channel,
    says: "33C0274E0C056001",
  });
  expect(await ask()).toBe("33C0274E0C056001");
  await tell(JSON.stringify({ plug: channel, says: null }));
  expect(await ask()).toBe("NONE");
  expect(await tell('{"plug":"nowhere","says":"33"}')).toMatchObject({ error: { code: "job.invalid" } });
  stop.abort();
  expect(await finished).toBe(0);
});

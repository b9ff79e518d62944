import { createServer } from "node:net";
import { expect, it } from "vitest";
import { connectTcp } from "../transports/tcp-wire.ts";
import { benchOfOne } from "./bench-of-one.test-support.ts";
import { readoutEntry } from "./scripted-instrument.test-support.ts";

const freePort = () =>
  new Promise<number>((resolve) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const bound = server.address();
      const port = typeof bound === "object" && bound !== null ? bound.port : 0;
      server.close(() => resolve(port));
    });
  });

it("an address at which nobody listens is named with what to check", async () => {
  const at = `tcp://127.0.0.1:${await freePort()}`;
  let connections = 0;
  const stage = {
    at,
    goneReason: "",
    connect: () => {
      connections += 1;
      return connectTcp(at);
    },
    connections: () => connections,
    close: async () => undefined,
  };
  const { bench, readOnce } = benchOfOne(stage, readoutEntry({ retries: 1 }));
  const message = `Instrument "readout" at ${at} cannot be reached: nothing answers at that port (connection refused). Check that it is switched on, that its cable is in, that the address is right, and that no other program holds it.`;
  expect((await readOnce()).outcome).toMatchObject({ ok: false, fault: { code: "instrument.unreachable", message } });
  expect(connections).toBe(2);
  expect(await bench.prepare()).toMatchObject({ ok: false, fault: { code: "instrument.unreachable", message } });
  await bench.close();
});

it("an address that is none says how one is written", async () => {
  expect(await connectTcp("tcp://bench:99999")).toMatchObject({
    ok: false,
    fault: {
      message: expect.stringContaining(
        '"tcp://bench:99999" is not an address. Write one of: tcp://192.168.1.20:5025, serial:',
      ),
    },
  });
});

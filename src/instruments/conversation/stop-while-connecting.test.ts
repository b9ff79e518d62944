import { setTimeout as after } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { failure, success, type Outcome } from "#fault";
import type { Wire } from "../wire/wire.ts";
import { lineBus } from "./line-bus.ts";

interface FakeWire extends Wire {
  closed: boolean;
}

const wire = (): FakeWire => ({
  closed: false,
  listen: () => undefined,
  send: () => undefined,
  close() {
    this.closed = true;
  },
});

/** A place at which a connection takes as long as the test says. */
const slowPlace = () => {
  let answer: (outcome: Outcome<Wire>) => void = () => undefined;
  let attempts = 0;
  const open = (): Promise<Outcome<Wire>> => {
    attempts += 1;
    return new Promise((resolve) => (answer = resolve));
  };
  return { open, answer: (outcome: Outcome<Wire>) => answer(outcome), attempts: () => attempts };
};

describe("something urgent while a connection is being made", () => {
  it("breaks the wait off and joins the attempt that is under way, so that nobody waits twice", async () => {
    const bus = lineBus(1);
    const place = slowPlace();
    const seen: string[] = [];
    const first = bus.turn(async () => {
      const made = await bus.reach("tcp://a:1", place.open);
      seen.push(made === null ? "broken off" : "connected");
    });
    await after(1);
    const urgent = bus.turn(async () => {
      const made = await bus.reach("tcp://a:1", place.open);
      seen.push(made?.ok === true ? "urgent connected" : "urgent not");
    }, true);
    await first;
    expect(seen).toEqual(["broken off"]);
    place.answer(success(wire()));
    await urgent;
    expect(seen).toEqual(["broken off", "urgent connected"]);
    expect(place.attempts()).toBe(1);
  });

  it("hears at once that the attempt failed, and the next one begins anew", async () => {
    const bus = lineBus(1);
    const place = slowPlace();
    const first = bus.turn(() => bus.reach("tcp://a:1", place.open));
    await after(1);
    const urgent = bus.turn(() => bus.reach("tcp://a:1", place.open), true);
    expect(await first).toBeNull();
    place.answer(failure("instrument.unreachable", "nobody there"));
    expect(await urgent).toMatchObject({ ok: false });
    const again = bus.turn(() => bus.reach("tcp://a:1", place.open));
    await after(1);
    expect(place.attempts()).toBe(2);
    place.answer(success(wire()));
    expect(await again).toMatchObject({ ok: true });
  });

  it("leaves no connection behind that nobody wants: it is closed when it comes", async () => {
    const bus = lineBus(1);
    const place = slowPlace();
    const first = bus.turn(() => bus.reach("tcp://a:1", place.open));
    await after(1);
    const leaving = bus.leave();
    expect(await first).toBeNull();
    await leaving;
    const late = wire();
    place.answer(success(late));
    await after(1);
    expect(late.closed).toBe(true);
  });
});

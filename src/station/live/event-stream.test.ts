import { EventEmitter } from "node:events";
import type { ServerResponse } from "node:http";
import { describe, expect, it } from "vitest";
import type { RunMessage, RunView } from "#contract";
import { streamRun, type Feed } from "./event-stream.ts";

/** A reader that takes nothing until it is told to: only what the stream asks of a response. */
class SlowReader extends EventEmitter {
  readonly written: string[] = [];
  writableNeedDrain = false;
  full = false;
  ended = false;

  writeHead(): this {
    return this;
  }

  write(text: string): boolean {
    this.written.push(text);
    this.writableNeedDrain = this.full;
    return !this.full;
  }

  end(): this {
    this.ended = true;
    return this;
  }

  drain(): void {
    this.writableNeedDrain = false;
    this.emit("drain");
  }

  messages(): RunMessage[] {
    return this.written.map((text) => JSON.parse(text.slice("data: ".length)) as RunMessage);
  }
}

const feedOf = () => {
  const watchers = new Set<() => void>();
  const state = { at: 0, ended: false };
  const feed: Feed = {
    view: () => ({ at: state.at }) as RunView,
    approach: () => null,
    watch: (changed) => {
      watchers.add(changed);
      return () => watchers.delete(changed);
    },
    get ended() {
      return state.ended;
    },
  };
  return { feed, state, watchers, change: () => watchers.forEach((changed) => changed()) };
};

const pace = { view: 0, approach: 0, heartbeat: 60_000 };

describe("the stream of a run", () => {
  it("begins with the whole view, numbers without a gap, and ends with the run", async () => {
    const { feed, state, change, watchers } = feedOf();
    const reader = new SlowReader();
    const over = streamRun(reader as unknown as ServerResponse, feed, pace);
    state.at = 1;
    change();
    state.ended = true;
    change();
    await over;
    expect(reader.messages().map(({ kind }) => kind)).toEqual(["view", "view", "view", "ended"]);
    expect(reader.messages().map(({ seq }) => seq)).toEqual([0, 1, 2, 3]);
    expect(reader.ended).toBe(true);
    expect(watchers.size).toBe(0);
  });

  it("keeps nothing for a reader that does not read: when it reads again it gets the newest view", async () => {
    const { feed, state, change } = feedOf();
    const reader = new SlowReader();
    reader.full = true;
    const over = streamRun(reader as unknown as ServerResponse, feed, pace);
    for (let at = 1; at <= 1000; at += 1) {
      state.at = at;
      change();
    }
    expect(reader.written).toHaveLength(1);
    reader.full = false;
    reader.drain();
    expect(reader.messages()).toEqual([
      { kind: "view", seq: 0, view: { at: 0 } },
      { kind: "view", seq: 1, view: { at: 1000 } },
    ]);
    reader.emit("close");
    await over;
  });

  it("lets go when the reader goes", async () => {
    const { feed, watchers } = feedOf();
    const reader = new SlowReader();
    const over = streamRun(reader as unknown as ServerResponse, feed, pace);
    expect(watchers.size).toBe(1);
    reader.emit("close");
    await over;
    expect(watchers.size).toBe(0);
  });
});

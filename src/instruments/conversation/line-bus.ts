import type { Outcome } from "#fault";
import type { Wire } from "../wire/wire.ts";
import type { LineConnection } from "./line-connection.ts";

/**
 * One line to one or several instruments (a heat source that also reads thermometers is two instruments of a bench): the
 * open connection, and whose turn it is. One exchange at a time; an urgent one breaks off what is waiting for an answer
 * and goes before everything that has not begun.
 */
export interface LineBus {
  /** The open connection; null when there is none. */
  link(): LineConnection | null;
  take(link: LineConnection): void;
  drop(): void;
  /**
   * Opens a wire to a place. Something urgent breaks the wait off (null); the attempt itself goes on, and whoever asks for
   * the same place next joins it, so that an urgent command waits for what is left of it and not for a second one.
   */
  reach(at: string, open: () => Promise<Outcome<Wire>>): Promise<Outcome<Wire> | null>;
  turn<T>(work: () => Promise<T>, urgent?: boolean): Promise<T>;
  /** Is something urgent waiting? What is under way should then not be tried again. */
  pressed(): boolean;
  /** One of its users leaves; the last one closes the line, when what has begun is over. */
  leave(): Promise<void>;
}

export const lineBus = (users: number): LineBus => {
  let connection: LineConnection | null = null;
  const waiting: { readonly start: () => Promise<void>; readonly urgent: boolean }[] = [];
  let busy = false;
  let left = users;
  let attempt: { readonly at: string; readonly wire: Promise<Outcome<Wire>> } | null = null;
  let breakOff: (() => void) | null = null;

  /** Nobody wants the wire of an attempt any more: it is closed when it comes. */
  const abandon = () => {
    void attempt?.wire.then((wire) => {
      if (wire.ok) wire.value.close();
    });
    attempt = null;
  };

  const reach = async (at: string, open: () => Promise<Outcome<Wire>>): Promise<Outcome<Wire> | null> => {
    if (attempt?.at !== at) {
      abandon();
      attempt = { at, wire: open() };
    }
    const mine = attempt;
    const brokenOff = new Promise<null>((resolve) => {
      breakOff = () => resolve(null);
    });
    const made = await Promise.race([mine.wire, brokenOff]);
    breakOff = null;
    if (made !== null) attempt = null;
    return made;
  };

  const drop = () => {
    connection?.close();
    connection = null;
  };

  const serve = async () => {
    if (busy) return;
    busy = true;
    for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) await next.start();
    busy = false;
  };

  const turn = <T>(work: () => Promise<T>, urgent = false): Promise<T> =>
    new Promise((resolve, reject) => {
      const start = () => work().then(resolve, reject);
      const place = urgent ? waiting.findIndex((each) => !each.urgent) : -1;
      waiting.splice(place < 0 ? waiting.length : place, 0, { start, urgent });
      if (urgent && busy) {
        breakOff?.();
        connection?.interrupt();
      }
      void serve();
    });

  return {
    link() {
      if (connection !== null && !connection.open()) connection = null;
      return connection;
    },
    take(link) {
      connection = link;
    },
    drop,
    reach,
    turn,
    pressed: () => waiting.some(({ urgent }) => urgent),
    async leave() {
      left -= 1;
      if (left <= 0) {
        breakOff?.();
        drop();
      }
      await turn(async () => undefined);
      if (left <= 0) abandon();
    },
  };
};

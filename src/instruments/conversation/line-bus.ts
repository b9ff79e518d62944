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
      if (urgent && busy) connection?.interrupt();
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
    turn,
    pressed: () => waiting.some(({ urgent }) => urgent),
    async leave() {
      left -= 1;
      if (left <= 0) drop();
      await turn(async () => undefined);
    },
  };
};

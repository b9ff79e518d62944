import type { WireListener } from "./wire.ts";

/** This program's end of a wire: what came before anybody listened, who listens, and whether it is gone and why. */
export interface WireEnd {
  listen(next: WireListener): void;
  /** A piece that came. */
  take(piece: Uint8Array): void;
  /** Why it is going to close, where that is known before it does; the first reason stays. */
  because(reason: string): void;
  /** The wire is gone; the listener is told once. `otherwise` where nobody gave a reason. */
  close(otherwise: string): void;
  readonly gone: () => boolean;
}

export const wireEnd = (): WireEnd => {
  const early: Uint8Array[] = [];
  let listener: WireListener | null = null;
  let reason: string | null = null;
  let gone: string | null = null;
  return {
    listen(next) {
      listener = next;
      for (const piece of early.splice(0)) next.bytes(piece);
      if (gone !== null) next.closed(gone);
    },
    take(piece) {
      if (listener === null) early.push(piece);
      else listener.bytes(piece);
    },
    because(why) {
      reason ??= why;
    },
    close(otherwise) {
      if (gone !== null) return;
      gone = reason ?? otherwise;
      listener?.closed(gone);
    },
    gone: () => gone !== null,
  };
};

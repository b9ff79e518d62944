import type { Wire, WireListener } from "#instruments";
import type { LineService } from "./line-service.ts";

/** A wire to a simulated instrument without a socket: bytes go straight over, in both directions, in order. */
export const memoryWire = (service: LineService, onClose: () => void = () => undefined): Wire => {
  const early: Uint8Array[] = [];
  let listener: WireListener | null = null;
  let gone: string | null = null;

  const end = (reason: string) => {
    if (gone !== null) return;
    gone = reason;
    onClose();
    service.leave?.(sink);
    listener?.closed(reason);
  };

  const sink = {
    write(bytes: Uint8Array) {
      if (gone !== null) return;
      if (listener === null) early.push(bytes);
      else listener.bytes(bytes);
    },
    hangUp: () => end("the other end has closed the connection"),
  };
  const take = service.connect(sink);

  return {
    listen(next) {
      listener = next;
      for (const piece of early.splice(0)) next.bytes(piece);
      if (gone !== null) next.closed(gone);
    },
    send(bytes) {
      if (gone === null) take(bytes);
    },
    close: () => end("closed by this program"),
  };
};

/** Who is told of what comes over a wire. Neither call may throw. */
export interface WireListener {
  /** A piece of what the instrument sent, cut wherever the transport happened to cut it. */
  bytes(piece: Uint8Array): void;
  /** The wire is gone; `reason` in words. Called once, also after `close()`. */
  closed(reason: string): void;
}

/**
 * Bytes out, bytes in, close: what every transport is to the layers above. A TCP socket and a wire in memory both fit.
 * Sending on a wire that is gone does nothing: the listener has been told already.
 */
export interface Wire {
  /** One listener; a second call replaces the first. Pieces that came before are handed over at once. */
  listen(listener: WireListener): void;
  send(bytes: Uint8Array): void;
  close(): void;
}

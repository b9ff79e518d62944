import { failure, success, type Outcome } from "#fault";

export interface TcpAddress {
  readonly host: string;
  readonly port: number;
}

/** Reads `tcp://host:port`. Ports 1 to 65535; anything else is a failure that says how an address is written. */
export const parseTcpAddress = (text: string): Outcome<TcpAddress> => {
  const match = /^tcp:\/\/([^\s:/]+):(\d{1,5})$/.exec(text);
  const port = Number(match?.[2]);
  if (match === null || port < 1 || port > 65_535) {
    return failure(
      "instrument.unreachable",
      `"${text}" is not an address. Write tcp://host:port, for example tcp://192.168.1.20:5025.`,
    );
  }
  return success({ host: match[1]!, port });
};

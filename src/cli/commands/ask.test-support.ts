import { Readable, Writable } from "node:stream";
import type { Command } from "../command.ts";

const collecting = (): { stream: Writable; text(): string } => {
  const parts: string[] = [];
  const stream = new Writable({
    write(chunk: Buffer, _encoding, done) {
      parts.push(chunk.toString());
      done();
    },
  });
  return { stream, text: () => parts.join("") };
};

export interface Asked {
  readonly code: number;
  readonly text: string;
  readonly errors: string;
}

/** Runs a command on a text as its standard input, with words; `home` is the program's folder, for who reads the catalogue. */
export const ask = async (
  command: Command,
  input: string,
  words: readonly string[] = [],
  home = "/",
): Promise<Asked> => {
  const [out, err] = [collecting(), collecting()];
  const code = await command.run(words, {
    stdin: Readable.from([input], { objectMode: false }),
    stdout: out.stream,
    stderr: err.stream,
    environment: {},
    signal: new AbortController().signal,
    home,
  });
  return { code, text: out.text(), errors: err.text() };
};

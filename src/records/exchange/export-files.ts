import { createReadStream } from "node:fs";
import { readdir } from "node:fs/promises";
import { join, relative, sep } from "node:path";

/** The files of an export, by their names below its folder, with `/` between. */
export interface ExportFiles {
  /** In the order of their names. */
  names(): Promise<readonly string[]>;
  /** The bytes of a file, piece by piece. Only names that `names` gave. */
  bytes(name: string): AsyncIterable<Uint8Array> | Iterable<Uint8Array>;
}

/** The files below a folder. */
export class FolderFiles implements ExportFiles {
  readonly #folder: string;

  constructor(folder: string) {
    this.#folder = folder;
  }

  async names(): Promise<string[]> {
    const entries = await readdir(this.#folder, { recursive: true, withFileTypes: true });
    return entries
      .filter((entry) => !entry.isDirectory())
      .map((entry) => relative(this.#folder, join(entry.parentPath, entry.name)).split(sep).join("/"))
      .toSorted();
  }

  bytes(name: string): AsyncIterable<Uint8Array> {
    return createReadStream(join(this.#folder, name), { highWaterMark: 1 << 18 }) as AsyncIterable<Uint8Array>;
  }
}

/** All of a file at once, for those that are small. */
export const wholeFile = async (files: ExportFiles, name: string): Promise<Buffer> => {
  const pieces: Uint8Array[] = [];
  for await (const piece of files.bytes(name)) pieces.push(piece);
  return Buffer.concat(pieces);
};

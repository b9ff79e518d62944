import type { ExportFiles } from "./export-files.ts";
import { FolderFiles, wholeFile } from "./export-files.ts";

/** The files of an export in memory. */
export class MemoryFiles implements ExportFiles {
  readonly files: Map<string, Uint8Array>;

  constructor(files: Map<string, Uint8Array>) {
    this.files = files;
  }

  static async of(folder: string): Promise<MemoryFiles> {
    const source = new FolderFiles(folder);
    const files = new Map<string, Uint8Array>();
    for (const name of await source.names()) files.set(name, await wholeFile(source, name));
    return new MemoryFiles(files);
  }

  names(): Promise<readonly string[]> {
    return Promise.resolve([...this.files.keys()].toSorted());
  }

  bytes(name: string): Iterable<Uint8Array> {
    return [this.files.get(name)!];
  }

  /** The same files, one of them with other bytes, or without it. */
  with(name: string, bytes: Uint8Array | null): MemoryFiles {
    const files = new Map(this.files);
    if (bytes === null) files.delete(name);
    else files.set(name, bytes);
    return new MemoryFiles(files);
  }
}

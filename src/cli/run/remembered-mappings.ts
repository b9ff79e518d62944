import { mkdir, readFile, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import { unwrap } from "#fault";
import { loadDocument, readingsMappingSchema, type ReadingsMapping } from "#intake";
import type { Surroundings } from "../command.ts";
import { readNamedFile } from "./read-job.ts";

/** Where mappings are kept from one file to the next: beside the other settings of the person at the terminal. */
const memoryOf = (environment: Surroundings["environment"]): string | null => {
  const settings =
    environment["XDG_CONFIG_HOME"] ?? (environment["HOME"] === undefined ? null : join(environment["HOME"], ".config"));
  return settings === null ? null : join(settings, "dwellpoint", "mappings");
};

/** A mapping that a person wrote. @throws Fault `input.invalid` with every wrong field and its line */
export const readMapping = async (path: string): Promise<ReadingsMapping> =>
  unwrap(loadDocument(await readNamedFile(path, "mapping"), basename(path), readingsMappingSchema));

/** The mapping with which a file of this shape was read before; null where none was. */
export const recallMapping = async (
  shape: string,
  environment: Surroundings["environment"],
): Promise<ReadingsMapping | null> => {
  const folder = memoryOf(environment);
  if (folder === null) return null;
  try {
    const name = `${shape}.json`;
    return unwrap(loadDocument(await readFile(join(folder, name), "utf8"), name, readingsMappingSchema));
  } catch {
    // A memory that cannot be read is none: the person gives the mapping again, and it is kept anew.
    return null;
  }
};

/** Keeps a mapping that worked; where it is kept, or null where there is no place for it. */
export const keepMapping = async (
  shape: string,
  mapping: ReadingsMapping,
  environment: Surroundings["environment"],
): Promise<string | null> => {
  const folder = memoryOf(environment);
  if (folder === null) return null;
  const path = join(folder, `${shape}.json`);
  try {
    await mkdir(folder, { recursive: true });
    await writeFile(path, `${JSON.stringify(mapping, null, 2)}\n`);
    return path;
  } catch {
    return null;
  }
};

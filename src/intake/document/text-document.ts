import { isAlias, isMap, isScalar, isSeq, type Document, type LineCounter, type Node, type Pair } from "yaml";
import type { Path, Place } from "./place.ts";

const pairAt = (document: Document, node: unknown, key: PropertyKey): Pair | undefined => {
  const target = isAlias(node) ? node.resolve(document) : node;
  if (!isMap(target)) return undefined;
  return target.items.find((pair) => (isScalar(pair.key) ? String(pair.key.value) : String(pair.key)) === String(key));
};

const childAt = (document: Document, node: unknown, key: PropertyKey): unknown => {
  const target = isAlias(node) ? node.resolve(document) : node;
  return isSeq(target) ? target.items[Number(key)] : pairAt(document, target, key)?.value;
};

const isBlock = (node: unknown): boolean => (isMap(node) || isSeq(node)) && node.flow !== true;

/** A text that was read: its plain value, and where in the text each part of the value stands. */
export class TextDocument {
  readonly name: string;
  readonly value: unknown;
  readonly #document: Document;
  readonly #lines: LineCounter;

  constructor(name: string, value: unknown, document: Document, lines: LineCounter) {
    this.name = name;
    this.value = value;
    this.#document = document;
    this.#lines = lines;
  }

  /**
   * Where the value at a path begins: for a block of several lines its key, which is what people look for. Where there is
   * no value, the nearest thing above it.
   */
  place(path: Path): Place {
    for (let depth = path.length; depth > 0; depth -= 1) {
      const whole = depth === path.length;
      const node = this.#nodeAt(path.slice(0, depth));
      const itself = (whole && !isBlock(node)) || isSeq(this.#nodeAt(path.slice(0, depth - 1)));
      const found = (itself ? this.#start(node) : undefined) ?? this.#keyStart(path.slice(0, depth));
      if (found !== undefined) return found;
    }
    return this.#start(this.#document.contents) ?? { line: 1, column: 1 };
  }

  /** Where the key at the end of a path stands. */
  keyPlace(path: Path): Place {
    return this.#keyStart(path) ?? this.place(path);
  }

  /** The value at a path; undefined where there is none. */
  valueAt(path: Path): unknown {
    let value = this.value;
    for (const key of path) {
      if (typeof value !== "object" || value === null || !Object.hasOwn(value, key)) return undefined;
      value = (value as Record<PropertyKey, unknown>)[key];
    }
    return value;
  }

  /** A plain scalar exactly as it was typed (`012`, `1e3`); undefined for anything else. */
  sourceAt(path: Path): string | undefined {
    const node = this.#nodeAt(path);
    return isScalar(node) && node.type === "PLAIN" ? node.source : undefined;
  }

  #nodeAt(path: Path): unknown {
    return path.reduce((node: unknown, key) => childAt(this.#document, node, key), this.#document.contents);
  }

  #keyStart(path: Path): Place | undefined {
    const key = path.at(-1);
    if (key === undefined) return undefined;
    const pair = pairAt(this.#document, this.#nodeAt(path.slice(0, -1)), key);
    return pair === undefined ? undefined : this.#start(pair.key);
  }

  #start(node: unknown): Place | undefined {
    const range = (node as Node | null | undefined)?.range;
    if (range === undefined || range === null) return undefined;
    const { line, col } = this.#lines.linePos(range[0]);
    return { line, column: col };
  }
}

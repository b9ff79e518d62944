import type { Generator } from "#numerics";

/** As much of JSON Schema as the API's description uses. */
export interface Schema {
  readonly type?: string | readonly string[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly allOf?: readonly Schema[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly items?: Schema | boolean;
  readonly prefixItems?: readonly Schema[];
  readonly additionalProperties?: boolean | Schema;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly minLength?: number;
  readonly maxLength?: number;
  readonly pattern?: string;
  readonly format?: string;
  readonly $ref?: string;
}

/** Values that break careless code: none of them means anything here. */
const hostile: readonly unknown[] = [
  null,
  "",
  " ",
  "../../etc/passwd",
  "..%2f..%2fetc%2fpasswd",
  "a\u0000b",
  "'; DROP TABLE runs; --",
  "<script>alert(1)</script>",
  "𝔘𝔫𝔦𝔠𝔬𝔡𝔢\u202e",
  "x".repeat(5000),
  "__proto__",
  "constructor",
  0,
  -1,
  1e308,
  -1e308,
  Number.MAX_SAFE_INTEGER + 1,
  0.1,
  true,
  [],
  {},
  [[[[[]]]]],
  { __proto__: null, toString: "no" },
];

const pick = <T>(from: readonly T[], chance: Generator): T => from[Math.floor(chance.next() * from.length)]!;

const words = ["a", "run-1", "0", "tcp://127.0.0.1:1", "2026-03-31", "as-found", "Ω", "x y", "1,5"] as const;

/**
 * A value that fits a schema about as well as a careless program would: mostly right, and here and there something hostile
 * in its place. `known` are names that lead somewhere, so that what lies behind them is reached too.
 */
export const sampleOf = (
  schema: Schema,
  chance: Generator,
  known: readonly string[],
  wildness: number,
  depth = 0,
): unknown => {
  if (depth > 8 || chance.next() < wildness) return pick(hostile, chance);
  const deeper = (inner: Schema): unknown => sampleOf(inner, chance, known, wildness, depth + 1);
  const one = schema.anyOf ?? schema.oneOf ?? schema.allOf;
  if (one !== undefined && one.length > 0) return deeper(pick(one, chance));
  if ("const" in schema) return schema.const;
  if (schema.enum !== undefined && schema.enum.length > 0) return pick(schema.enum, chance);
  const type = typeof schema.type === "string" ? schema.type : pick(schema.type ?? ["string"], chance);
  switch (type) {
    case "object": {
      const own = Object.entries(schema.properties ?? {}).filter(
        ([name]) => schema.required?.includes(name) === true || chance.next() < 0.5,
      );
      const more = typeof schema.additionalProperties === "object" ? schema.additionalProperties : undefined;
      return Object.fromEntries([
        ...own.map(([name, inner]) => [name, deeper(inner)] as const),
        ...(more === undefined ? [] : [[pick(known, chance), deeper(more)] as const]),
      ]);
    }
    case "array":
      if (schema.prefixItems !== undefined) return schema.prefixItems.map(deeper);
      return Array.from({ length: Math.floor(chance.next() * 4) }, () =>
        deeper(typeof schema.items === "object" ? schema.items : {}),
      );
    case "integer":
    case "number": {
      const [low, high] = [Math.max(schema.minimum ?? -50, -1e6), Math.min(schema.maximum ?? 500, 1e6)];
      const value = low + chance.next() * (high - low);
      return type === "integer" ? Math.round(value) : value;
    }
    case "boolean":
      return chance.next() < 0.5;
    case "null":
      return null;
    default:
      return chance.next() < 0.6 ? pick(known, chance) : pick(words, chance);
  }
};

import { z } from "zod";
import type { Path } from "./place.ts";

type Json = z.core.JSONSchema.BaseSchema;

const shapes = new WeakMap<z.ZodType, Json>();

/** The JSON schema of what may be written (not of what is made of it); worked out once for each schema. */
const shapeOf = (schema: z.ZodType): Json => {
  const known = shapes.get(schema);
  if (known !== undefined) return known;
  const shape = z.toJSONSchema(schema, {
    io: "input",
    unrepresentable: "any",
    cycles: "ref",
    reused: "inline",
  }) as Json;
  shapes.set(schema, shape);
  return shape;
};

/** A union as the branches that may be meant: every one whose constant fields agree with what is there. */
const branches = (node: Json, value: unknown): Json[] => {
  const options = [...(node.anyOf ?? []), ...(node.oneOf ?? [])] as Json[];
  if (options.length === 0) return [node, ...((node.allOf ?? []) as Json[]).flatMap((each) => branches(each, value))];
  const all = options.flatMap((option) => branches(option, value));
  const fitting = all.filter((option) => agrees(option, value));
  return fitting.length > 0 ? fitting : all;
};

const agrees = (option: Json, value: unknown): boolean => {
  if (typeof value !== "object" || value === null) return option.type !== "object" && option.type !== "array";
  if (Array.isArray(value)) return option.type === "array";
  return Object.entries(option.properties ?? {}).every(([key, property]) => {
    const constant = typeof property === "object" ? (property as Json).const : undefined;
    return constant === undefined || (value as Record<string, unknown>)[key] === constant;
  });
};

const child = (node: Json, key: PropertyKey): Json[] => {
  const found =
    typeof key === "number"
      ? (node.prefixItems?.[key] ?? (Array.isArray(node.items) ? node.items[key] : node.items))
      : (node.properties?.[String(key)] ?? node.additionalProperties);
  return typeof found === "object" && found !== null ? [found as Json] : [];
};

/** The parts of the schema that may hold at a path, for the value that stands there. */
const nodesAt = (schema: z.ZodType, root: unknown, path: Path): Json[] => {
  let nodes: Json[] = [shapeOf(schema)];
  let value = root;
  for (const key of path) {
    nodes = nodes.flatMap((node) => branches(node, value)).flatMap((node) => child(node, key));
    value = typeof value === "object" && value !== null ? (value as Record<PropertyKey, unknown>)[key] : undefined;
  }
  return nodes;
};

/** Names of the fields that may be written at a path. */
export const knownKeys = (schema: z.ZodType, root: unknown, path: Path, value: unknown): string[] => [
  ...new Set(
    nodesAt(schema, root, path)
      .flatMap((node) => branches(node, value))
      .flatMap((node) => Object.keys(node.properties ?? {})),
  ),
];

/** What the schema says about a field, in words; undefined where it says nothing. */
export const descriptionAt = (schema: z.ZodType, root: unknown, path: Path): string | undefined =>
  nodesAt(schema, root, path)
    .map((node) => node.description)
    .find((text) => text !== undefined);

export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json | undefined };

/** JSON with sorted keys and no white space, as RFC 8785 lays down; JavaScript's own number text is the one it asks for. */
export const canonicalText = (value: Json): string => {
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  if (Array.isArray(value)) return `[${(value as readonly Json[]).map(canonicalText).join(",")}]`;
  const entries = Object.entries(value as { readonly [key: string]: Json | undefined })
    .filter((entry): entry is [string, Json] => entry[1] !== undefined)
    .toSorted(([a], [b]) => (a < b ? -1 : 1));
  return `{${entries.map(([key, inner]) => `${JSON.stringify(key)}:${canonicalText(inner)}`).join(",")}}`;
};

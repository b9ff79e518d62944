/** Where something stands in a text; both count from 1. */
export interface Place {
  readonly line: number;
  readonly column: number;
}

export type Path = readonly PropertyKey[];

/** A path as people read it: `procedure.points[2].temperature`; the whole document is `(document)`. */
export const pathText = (path: Path): string => {
  if (path.length === 0) return "(document)";
  return path
    .map((part, index) => (typeof part === "number" ? `[${part}]` : `${index === 0 ? "" : "."}${String(part)}`))
    .join("");
};

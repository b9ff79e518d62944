/** What a line says, where it has the shape of the template. */
export interface TemplateMatch {
  readonly value: string;
  /** Number of the input; null where the template has none. */
  readonly input: number | null;
}

export interface LineTemplate {
  match(line: string): TemplateMatch | null;
  /** A line of this shape, as a simulated instrument sends it. */
  fill(value: string, input: number): string;
  readonly hasInput: boolean;
}

const fields: Readonly<Record<string, string>> = {
  value: String.raw`([+-]?\s?(?:\d+\.?\d*|\.\d+)(?:[Ee][+-]?\d{1,4})?)`,
  input: String.raw`(\d{1,4})`,
};
const part = /\{(value|input|text)\}|\s+|[^\s{}]+|[{}]/g;

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);

/**
 * A template is the line as it looks, with `{value}` for the number, `{input}` for the number of the input and `{text}`
 * for anything up to the character that follows; blanks stand for any blanks. Null when it is not one: exactly one
 * `{value}`, at most one `{input}`, `{text}` not next to another field.
 */
export const lineTemplate = (text: string): LineTemplate | null => {
  const parts = [...text.trim().matchAll(part)].map(([whole, field]) => ({ whole, field }));
  const count = (name: string) => parts.filter(({ field }) => field === name).length;
  const lonely = parts.every(
    ({ field }, index) => field !== "text" || parts[index + 1] === undefined || parts[index + 1]!.field === undefined,
  );
  if (count("value") !== 1 || count("input") > 1 || !lonely) return null;
  if (parts.some(({ whole, field }) => field === undefined && /^[{}]$/.test(whole))) return null;

  const order: string[] = [];
  const pattern = parts.map(({ whole, field }, index) => {
    if (field === "text") {
      const next = parts[index + 1]?.whole;
      return next === undefined ? ".*" : /^\s/.test(next) ? String.raw`\S*` : `[^${escaped(next[0]!)}]*`;
    }
    if (field !== undefined) {
      order.push(field);
      return fields[field]!;
    }
    return /^\s/.test(whole) ? String.raw`\s+` : escaped(whole);
  });
  const whole = new RegExp(String.raw`^\s*${pattern.join("")}\s*$`);

  return {
    hasInput: count("input") === 1,
    match(line) {
      const found = whole.exec(line);
      if (found === null) return null;
      const at = (name: string) => found[order.indexOf(name) + 1];
      return {
        value: at("value")!.replace(/\s/g, ""),
        input: order.includes("input") ? Number(at("input")) : null,
      };
    },
    fill: (value, input) =>
      parts
        .map(({ whole: shown, field }) =>
          field === "value" ? value : field === "input" ? String(input) : field === "text" ? "0" : shown,
        )
        .join(""),
  };
};

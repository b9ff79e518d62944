import type { Trace } from "./trace-back.ts";

const columns = [
  "run",
  "opened (UTC)",
  "through",
  "generation",
  "customer",
  "contact",
  "certificates",
  "tag",
  "serial",
  "pass",
  "what",
  "nominal/°C",
  "share of the correction",
  "error before/K",
  "U before/K",
  "decision before",
  "error after/K",
  "U after/K",
  "decision after",
  "moved/K",
  "moved/U",
  "statement",
  "act",
] as const;

type Cell = string | number | boolean | null;

/** A text that a spreadsheet would take for a formula is kept a text. */
const plain = (text: string): string => (/^[=+\-@\t\r]/.test(text) ? `'${text}` : text);

const cell = (value: Cell): string => {
  if (value === null) return "";
  if (typeof value === "string") return `"${plain(value).replaceAll('"', '""')}"`;
  // Six significant digits tell more than any U does.
  return typeof value === "number" ? String(Number(value.toPrecision(6))) : value ? "yes" : "no";
};

/** The list as CSV (RFC 4180: commas, CRLF, texts in quotation marks), a row for each result, the urgent runs first. */
export const traceCsv = ({ runs }: Trace): string => {
  const rows = runs.flatMap((run) =>
    run.results.map((result): readonly Cell[] => [
      run.run,
      run.opened,
      run.through,
      run.generation,
      run.customer.name,
      run.customer.contact,
      run.certificates.join(" "),
      result.tag,
      result.serial,
      result.pass,
      result.what,
      result.nominal,
      run.applied,
      result.before.error,
      result.before.U,
      result.before.decision,
      result.after?.error ?? null,
      result.after?.U ?? null,
      result.after?.decision ?? null,
      result.moved,
      result.share,
      result.statement,
      result.act,
    ]),
  );
  return [columns, ...rows].map((row) => `${row.map(cell).join(",")}\r\n`).join("");
};

import type { CertificateDocument, Cell, Column, FitSection, PassSection, ResultRow } from "../document/model.ts";
import { layPicture } from "./picture-layout.ts";

/** A cell of a table of results: its text, the digits that are missing to line up the decimal points, or a decision. */
interface SetCell {
  readonly text: string;
  readonly pad: string;
  readonly decision: string | null;
}

const fraction = (text: string): string => {
  const point = Math.max(text.lastIndexOf("."), text.lastIndexOf(","));
  return point < 0 ? "" : text.slice(point);
};

/** What has to be added, unseen, so that all numbers of a column end at the same decimal. */
const padding = (text: string, longest: number): string => {
  const own = fraction(text);
  const missing = longest - own.length;
  if (missing <= 0) return "";
  // The decimal sign itself is as wide in either language.
  return own === "" ? `.${"0".repeat(missing - 1)}` : "0".repeat(missing);
};

const numberOf = (row: ResultRow, key: Column["key"]): Cell | null => {
  if (key === "decision" || key === "risk") return null;
  return row[key] ?? null;
};

const setColumn = (rows: readonly ResultRow[], key: Column["key"]): readonly SetCell[] => {
  if (key === "decision")
    return rows.map(({ decision }) => ({ text: decision.word, pad: "", decision: decision.kind }));
  if (key === "risk") return rows.map(({ risk }) => ({ text: risk, pad: "", decision: null }));
  const texts = rows.map((row) => numberOf(row, key)?.text ?? "–");
  const longest = Math.max(0, ...texts.map((text) => fraction(text).length));
  const aligned = key === "tolerance" || key === "acceptance" ? texts.every((text) => text.startsWith("±")) : true;
  return texts.map((text) => ({ text, pad: aligned && text !== "–" ? padding(text, longest) : "", decision: null }));
};

const setTable = (section: PassSection): { columns: readonly Column[]; rows: readonly (readonly SetCell[])[] } => {
  const columns = section.columns.map(({ key }) => setColumn(section.rows, key));
  return { columns: section.columns, rows: section.rows.map((_, index) => columns.map((column) => column[index]!)) };
};

/** Rows of a fitted item's table that one group of columns takes before the next begins. */
const rowsInGroup = 12;
const mostGroups = 3;

/** The table in up to three groups of equal length, read down each; numbers of a kind end at the same decimal. */
const setFit = (fit: FitSection) => {
  const { rows } = fit.table;
  const keys = ["temperature", "signal", "U"] as const;
  const longest = keys.map((key) => Math.max(0, ...rows.map((row) => fraction(row[key].text).length)));
  const set = rows.map((row) =>
    Object.fromEntries(
      keys.map((key, index) => [key, { text: row[key].text, pad: padding(row[key].text, longest[index]!) }]),
    ),
  );
  const count = Math.min(mostGroups, Math.ceil(rows.length / rowsInGroup));
  const length = Math.ceil(rows.length / count);
  const groups = Array.from({ length: count }, (_, group) => set.slice(group * length, (group + 1) * length));
  return { ...fit, table: { ...fit.table, groups } };
};

const mapStrings = (value: unknown, change: (text: string) => string): unknown => {
  if (typeof value === "string") return change(value);
  if (Array.isArray(value)) return value.map((entry) => mapStrings(entry, change));
  if (value !== null && typeof value === "object") {
    return Object.fromEntries(Object.entries(value).map(([key, entry]) => [key, mapStrings(entry, change)]));
  }
  return value;
};

/** French sets its double signs with a space before them that does not break. */
const spaced = (text: string): string => text.replaceAll(/ (?=[:;»!?])/g, "\u00a0").replaceAll("« ", "«\u00a0");

const partData = (document: CertificateDocument, visible: (text: string) => string): unknown => {
  const items = document.items.map((item) => ({
    ...item,
    picture: item.picture === null ? null : { ...item.picture, layout: layPicture(item.picture) },
    passes: item.passes.map((pass) => ({ ...pass, table: setTable(pass) })),
    fit: item.fit === null ? null : setFit(item.fit),
  }));
  const { data: _data, ...paper } = document;
  return mapStrings({ ...paper, items }, (text) => visible(document.language === "fr" ? spaced(text) : text));
};

/** What the template takes besides the documents. */
export interface TypstExtras {
  readonly fonts: readonly string[];
  /** Paths of the laboratory's pictures in the compiler's own files; null where there are none. */
  readonly logo: string | null;
  readonly symbol: string | null;
}

/** The documents as the template takes them: the same texts, every one made visible, with tables and pictures laid out. */
export const typstData = (
  documents: readonly CertificateDocument[],
  visible: (text: string) => string,
  extras: TypstExtras,
): string => JSON.stringify({ ...extras, parts: documents.map((document) => partData(document, visible)) });

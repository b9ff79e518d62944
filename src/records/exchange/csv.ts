type Field = string | number | null;

const quoted = (field: Field): string => {
  const text = field === null ? "" : String(field);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

/** A row of comma-separated values (RFC 4180): fields quoted where they must be, ended by carriage return and line feed. */
export const csvRow = (fields: readonly Field[]): string => `${fields.map(quoted).join(",")}\r\n`;

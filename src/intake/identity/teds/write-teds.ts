import { failure, success, type Outcome } from "#fault";
import { BitWriter } from "./bits.ts";
import { writeField, type FieldValue } from "./field-types.ts";
import { paged } from "./pages.ts";
import { selectors } from "./read-teds.ts";
import type { Teds, TedsSection } from "./teds.ts";
import { knownTemplates, type TemplateField } from "./templates.ts";

const invalid = (message: string): Outcome<never> => failure("input.invalid", message);

const writeFields = (
  writer: BitWriter,
  fields: readonly TemplateField[],
  values: Readonly<Record<string, FieldValue>>,
): Outcome<null> => {
  for (const { name, label, type, where } of fields) {
    if (where !== undefined && values[where.field] !== where.is) continue;
    const value = values[name];
    if (value === undefined) return invalid(`A TEDS needs a value for "${name}" (${label}).`);
    if (!writeField(writer, type, value))
      return invalid(
        `A TEDS cannot hold ${String(value)} as "${name}" (${label}): it is outside what the field takes.`,
      );
  }
  return success(null);
};

const writeSection = (writer: BitWriter, { template: id, values, rows = [] }: TedsSection): Outcome<null> => {
  const template = knownTemplates.get(id);
  if (template === undefined) return invalid(`Template ${id} cannot be written by this version.`);
  writer.unsigned(selectors.standard, 2);
  writer.unsigned(id, 8);
  const written = writeFields(writer, template.fields, values);
  if (!written.ok || template.repeated === undefined) return written;
  if (values[template.repeated.count] !== rows.length)
    return invalid(
      `The table says that it has ${String(values[template.repeated.count])} rows and has ${rows.length}.`,
    );
  for (const row of rows) {
    const line = writeFields(writer, template.repeated.fields, row);
    if (!line.ok) return line;
  }
  return success(null);
};

/**
 * Writes a TEDS as a bare stream, or as memory pages with check sums. What `readTeds` reads of it is the same, numbers
 * rounded to what their fields can hold. Failure `input.invalid` names the value that a field cannot hold.
 */
export const writeTeds = (
  { basic, sections, text }: Omit<Teds, "stopped">,
  { checkSums = true }: { readonly checkSums?: boolean } = {},
): Outcome<Uint8Array> => {
  const writer = new BitWriter();
  const numbers = [
    ["maker's number", basic.manufacturer, 14, 17, 16_381],
    ["model number", basic.model, 15, 0, 32_767],
    ["version letter", basic.versionLetter === "" ? 0 : basic.versionLetter.charCodeAt(0) - 64, 5, 0, 26],
    ["version number", basic.version, 6, 0, 63],
    ["serial number", basic.serial, 24, 0, 16_777_215],
  ] as const;
  for (const [name, value, bits, least, most] of numbers) {
    if (!Number.isInteger(value) || value < least || value > most)
      return invalid(`The ${name} must be a whole number from ${least} to ${most}, not ${value}.`);
    writer.unsigned(value, bits);
  }
  for (const section of sections) {
    const written = writeSection(writer, section);
    if (!written.ok) return written;
  }
  if (!/^[ -~]*$/.test(text)) return invalid("The owner's text may hold plain letters, digits and signs only.");
  writer.unsigned(selectors.end, 2);
  writer.unsigned(0, 1);
  for (const letter of text) writer.unsigned(letter.charCodeAt(0), 7);
  writer.unsigned(0, 7);
  const stream = writer.bytes();
  return success(checkSums ? paged(stream) : stream);
};

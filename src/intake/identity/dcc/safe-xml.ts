import { ParseOption, XmlDocument, XmlElement } from "libxml2-wasm";
import { failure, success, type Outcome } from "#fault";

/** An element with what this room reads of it. Names are local names after the prefix that stands for their namespace. */
export interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly Element[];
  /** Its own text and that of its children, where it holds no elements; empty otherwise. */
  readonly text: string;
}

/** Certificates with pictures in them have a few megabytes; a hundred is no certificate. */
export const largestXml = 16_777_216;
const mostElements = 100_000;
const deepest = 64;

const prefixes: Readonly<Record<string, string>> = {
  "https://ptb.de/dcc": "dcc:",
  "https://ptb.de/si": "si:",
  "http://www.w3.org/1998/Math/MathML": "ml:",
};

const refused = (message: string): Outcome<never> => failure("identity.refused", message);
const unreadable = (message: string): Outcome<never> => failure("identity.unreadable", message);

const declaration = /^\s*<\?xml\s[^>]*?\?>/;
const encodings = ["utf-8", "utf8", "us-ascii", "ascii", "iso-8859-1", "iso-8859-15", "windows-1252", "utf-16"];

/** The text of the file, in the encoding that it names itself, without its declaration. */
const decoded = (bytes: Uint8Array): Outcome<string> => {
  const wide =
    bytes[0] === 0xff && bytes[1] === 0xfe ? "utf-16le" : bytes[0] === 0xfe && bytes[1] === 0xff ? "utf-16be" : null;
  const start = new TextDecoder("latin1").decode(bytes.subarray(0, 200));
  const named = (
    /encoding\s*=\s*["']([\w.-]+)["']/.exec(
      declaration.exec(start.replace(/^\u00ef\u00bb\u00bf/, ""))?.[0] ?? "",
    )?.[1] ?? "utf-8"
  ).toLowerCase();
  if (wide === null && !encodings.includes(named))
    return unreadable(
      `The file says that its characters are written as "${named}", which is not read. Save it as UTF-8.`,
    );
  try {
    const text = new TextDecoder(wide ?? named, { fatal: true }).decode(bytes);
    return success(text.replace(declaration, ""));
  } catch {
    return unreadable(
      `The file has bytes that are no characters of ${wide ?? named}. It is damaged, or says the wrong encoding.`,
    );
  }
};

/** What may stand before the first element: space, comments, instructions. A document type would come here. */
const prolog = /^(?:\s+|<!--[\s\S]*?-->|<\?[\s\S]*?\?>)/;

const firstMarkup = (text: string): string => {
  let rest = text;
  for (let found = prolog.exec(rest); found !== null; found = prolog.exec(rest)) rest = rest.slice(found[0].length);
  return rest;
};

const tagCount = (text: string, most: number): number => {
  let count = 0;
  for (let at = text.indexOf("<"); at >= 0 && count <= most; at = text.indexOf("<", at + 1)) count += 1;
  return count;
};

/** Copies the tree, so that nothing keeps the parser's memory; null where it is deeper than is read. */
const copied = (element: XmlElement, level: number): Element | null => {
  if (level > deepest) return null;
  const children: Element[] = [];
  for (let node = element.firstChild; node !== null; node = node.next) {
    if (!(node instanceof XmlElement)) continue;
    const child = copied(node, level + 1);
    if (child === null) return null;
    children.push(child);
  }
  return {
    name: `${prefixes[element.namespaceUri] ?? ""}${element.name}`,
    attributes: Object.fromEntries(element.attrs.map(({ name, value }) => [name, value])),
    children,
    text: children.length === 0 ? element.content.trim() : "",
  };
};

const firstLine = (thrown: unknown): string =>
  (thrown instanceof Error ? thrown.message : String(thrown)).trim().split("\n")[0] ?? "";

/**
 * An XML file as a tree, read as from a stranger: no document type, so no entities and nothing from elsewhere; no network;
 * at most 16 MiB, 100,000 elements, 64 levels. All of that is refused before the parser sees it, or by its own limits.
 *
 * Failures: `identity.refused` for what is never taken in, `identity.unreadable` for what is not well-formed XML.
 */
export const readXml = (bytes: Uint8Array): Outcome<Element> => {
  if (bytes.length > largestXml)
    return refused(
      `The file has ${Math.ceil(bytes.length / 1_048_576)} MiB; at most ${largestXml / 1_048_576} MiB are read. Is it the right file?`,
    );
  const text = decoded(bytes);
  if (!text.ok) return text;
  if (firstMarkup(text.value).startsWith("<!"))
    return refused(
      "The file brings a document type of its own (<!DOCTYPE …>). A calibration certificate needs none, and through one a file can draw in others, so it is not read.",
    );
  if (tagCount(text.value, 2 * mostElements) > 2 * mostElements)
    return refused(`The file has more than ${mostElements} elements. No certificate has so many.`);
  let document: XmlDocument;
  try {
    document = XmlDocument.fromString(text.value, {
      option: ParseOption.XML_PARSE_NONET | ParseOption.XML_PARSE_NO_XXE,
    });
  } catch (thrown) {
    const reason = firstLine(thrown);
    return /depth|nesting|huge/i.test(reason)
      ? refused("The file's elements lie too deep within one another. No certificate is like that.")
      : unreadable(`The file is not well-formed XML: ${reason}`);
  }
  try {
    const tree = copied(document.root, 0);
    return tree === null
      ? refused(`The file's elements lie more than ${deepest} deep within one another. No certificate is like that.`)
      : success(tree);
  } finally {
    document.dispose();
  }
};

/** Elements below, by the names of the way there. */
export const under = (element: Element, ...path: readonly string[]): readonly Element[] =>
  path.reduce<readonly Element[]>(
    (found, name) => found.flatMap(({ children }) => children.filter((child) => child.name === name)),
    [element],
  );

/** All elements of a name, however deep, in the order of the file. */
export const within = (element: Element, name: string): readonly Element[] =>
  element.children.flatMap((child) => [...(child.name === name ? [child] : []), ...within(child, name)]);

/** Text of the first element on the way; null where there is none or it is empty. */
export const textAt = (element: Element, ...path: readonly string[]): string | null => {
  const text = under(element, ...path)[0]?.text ?? "";
  return text === "" ? null : text.replaceAll(/\s+/g, " ");
};

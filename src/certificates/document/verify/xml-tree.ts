import { failure, success, type Outcome } from "#fault";

/** An element with its attributes and what stands in it; names with their prefix, as they are written. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly (XmlElement | string)[];
}

interface Open {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: (XmlElement | string)[];
}

const entities: Readonly<Record<string, string>> = { lt: "<", gt: ">", amp: "&", quot: '"', apos: "'" };
const deepest = 200;

const refused = (why: string): Outcome<never> =>
  failure("input.malformed", `This is not the XML of a certificate: ${why}.`);

const plainText = (source: string): string =>
  source.replaceAll(
    /&(?:#x([0-9a-fA-F]{1,6})|#(\d{1,7})|([a-z]{1,8}));/g,
    (whole, hex?: string, dec?: string, name?: string) => {
      if (name !== undefined) return entities[name] ?? whole;
      const code = hex === undefined ? Number(dec) : Number.parseInt(hex, 16);
      return code > 0x10ffff ? whole : String.fromCodePoint(code);
    },
  );

const token =
  /<!--[\s\S]*?-->|<!\[CDATA\[([\s\S]*?)\]\]>|<\?[\s\S]*?\?>|<\/([^\s<>/]+)\s*>|<([^\s<>/!?][^\s<>/]*)((?:\s+[^\s=<>/]+\s*=\s*(?:"[^"<]*"|'[^'<]*'))*)\s*(\/?)>|[^<]+/gy;
const attribute = /([^\s=<>/]+)\s*=\s*(?:"([^"<]*)"|'([^'<]*)')/g;

const attributesOf = (source: string): ReadonlyMap<string, string> =>
  new Map(
    [...source.matchAll(attribute)].map(([, name, double, single]) => [name!, plainText(double ?? single ?? "")]),
  );

/**
 * Reads XML as certificates are written: elements, attributes, text, CDATA, comments. A document type is refused, so nothing is
 * ever fetched or expanded (XML 1.0, 2.8 and 4).
 */
export const readXml = (text: string): Outcome<XmlElement> => {
  if (/<!(?:DOCTYPE|ENTITY|ELEMENT)/i.test(text)) return refused("it has a document type");
  const top: Open = { name: "", attributes: new Map(), children: [] };
  const path: Open[] = [top];
  token.lastIndex = text.startsWith("\ufeff") ? 1 : 0;
  while (token.lastIndex < text.length) {
    const start = token.lastIndex;
    const match = token.exec(text);
    if (match === null) return refused(`it breaks off at character ${start + 1}`);
    const [whole, cdata, closed, opened, attributes, empty] = match;
    const here = path.at(-1)!;
    if (closed !== undefined) {
      if (here.name !== closed) return refused(`</${closed}> closes <${here.name || "nothing"}>`);
      path.pop();
    } else if (opened !== undefined) {
      const element: Open = { name: opened, attributes: attributesOf(attributes ?? ""), children: [] };
      here.children.push(element);
      if (empty !== "/") path.push(element);
      if (path.length > deepest) return refused("its elements stand too deep in one another");
    } else if (cdata !== undefined) here.children.push(cdata);
    else if (!whole.startsWith("<")) here.children.push(plainText(whole));
  }
  if (path.length !== 1) return refused(`<${path.at(-1)!.name}> is not closed`);
  const roots = top.children.filter((child) => typeof child !== "string");
  return roots.length === 1 ? success(roots[0]!) : refused("it has not exactly one root element");
};

const isElement = (child: XmlElement | string): child is XmlElement => typeof child !== "string";

/** Child elements of a name. */
export const childrenOf = (element: XmlElement | undefined, name: string): readonly XmlElement[] =>
  (element?.children ?? []).filter(isElement).filter((child) => child.name === name);

/** The element at the end of a path of names, the first of each; undefined where a step is missing. */
export const elementAt = (element: XmlElement | undefined, ...path: readonly string[]): XmlElement | undefined =>
  path.reduce<XmlElement | undefined>((here, name) => childrenOf(here, name)[0], element);

/** All text of an element and below, without the space at its ends; empty where there is no element. */
export const textOf = (element: XmlElement | undefined): string => {
  const all = (here: XmlElement): string =>
    here.children.map((child) => (typeof child === "string" ? child : all(child))).join("");
  return element === undefined ? "" : all(element).trim();
};

/** Every element of a name below another, however deep. */
export const descendants = (element: XmlElement | undefined, name: string): readonly XmlElement[] =>
  (element?.children ?? [])
    .filter(isElement)
    .flatMap((child) => [...(child.name === name ? [child] : []), ...descendants(child, name)]);

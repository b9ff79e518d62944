import "./before-schemas.ts";
import type { VerifyReport } from "../document/verify/verify-certificate.ts";
import { verifyFiles, type GivenFile, type VerifiedFiles } from "./verify-files.ts";

/*
 * The page that holds a certificate against its log in a browser. The room is compiled without a browser's types, so the few
 * parts of the document that are used stand here.
 */
interface Part {
  className: string;
  textContent: string | null;
  value: string;
  readonly dataset: Record<string, string | undefined>;
  readonly files: Iterable<ChosenFile> | null;
  append(...parts: readonly (Part | string)[]): void;
  replaceChildren(...parts: readonly Part[]): void;
  setAttribute(name: string, value: string): void;
  addEventListener(name: string, listener: (event: DropEvent) => void): void;
}
interface ChosenFile {
  readonly name: string;
  arrayBuffer(): Promise<ArrayBuffer>;
}
interface DropEvent {
  readonly dataTransfer: { readonly files: Iterable<ChosenFile> } | null;
  preventDefault(): void;
}
interface Page {
  getElementById(id: string): Part | null;
  createElement(name: string): Part;
  readonly body: Part;
}
declare const document: Page;

const inflate = async (bytes: Uint8Array): Promise<Uint8Array> => {
  const stream = new Blob([bytes.slice()]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
};

const part = (id: string): Part => {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`The page has no part ${id}.`);
  return found;
};

const made = (name: string, text = "", className = ""): Part => {
  const element = document.createElement(name);
  if (text !== "") element.textContent = text;
  if (className !== "") element.className = className;
  return element;
};

const states = { holds: "holds", fails: "fails", unknown: "not shown" } as const;

const headings: Readonly<Record<VerifyReport["verdict"], string>> = {
  holds: "The certificate holds: its data are what the log gives.",
  unproven: "Nothing speaks against the certificate, and nothing proves it without its log.",
  fails: "The certificate does not hold.",
};

const table = (
  caption: string,
  head: readonly string[],
  rows: readonly (readonly string[])[],
  className = "",
): Part => {
  const whole = made("table", "", className);
  whole.append(made("caption", caption));
  const top = made("tr");
  for (const words of head) {
    const cell = made("th", words);
    cell.setAttribute("scope", "col");
    top.append(cell);
  }
  const thead = made("thead");
  thead.append(top);
  const body = made("tbody");
  for (const row of rows) {
    const line = made("tr");
    for (const words of row) line.append(made("td", words));
    body.append(line);
  }
  whole.append(thead, body);
  const scroll = made("div", "", "scroll");
  scroll.append(whole);
  return scroll;
};

const factsOf = ({ certificate }: VerifyReport): Part[] => {
  if (certificate === null) return [];
  const { number, laboratory, customer, issued, begun, ended, authorisedBy, run, logHash, software, replaces } =
    certificate;
  const rows: [string, string][] = [
    ["Certificate", number],
    ["Laboratory", laboratory],
    ["Customer", customer],
    ["Calibrated", begun === ended ? begun : `${begun} to ${ended}`],
    ["Issued", issued],
    ["Authorised by", authorisedBy],
    ["Items", certificate.items.map(({ tag, serial }) => `${tag} (${serial})`).join(", ")],
    ...(replaces === null ? [] : [["Replaces", replaces.number] as [string, string]]),
    ["Run", run],
    ["SHA-256 of the log", logHash],
    ["Made by", software],
  ];
  return [table("What the certificate says of itself", ["what", "stated"], rows)];
};

/** The figures as the data hold them, for the eye to compare with the printed pages. */
const figuresOf = ({ certificate }: VerifyReport): Part[] =>
  (certificate?.results ?? []).map((result) => {
    const tag = certificate?.items[result.item]?.tag ?? "";
    const most = Math.max(0, ...result.lists.map(({ values }) => values.length));
    return table(
      `${tag}, ${result.kind.replace("-", " ")}`,
      ["what", ...Array.from({ length: most }, (_, index) => String(index + 1))],
      result.lists.map(({ name, values }) => [
        name,
        ...Array.from({ length: most }, (_, index) => values[index] ?? ""),
      ]),
    );
  });

const shown = ({ report, trouble }: VerifiedFiles): Part[] => {
  if (report === null) return [made("p", trouble ?? "", "note")];
  const findings = report.findings.map(({ state, words }) => {
    const line = made("div", "", `finding ${state}`);
    line.append(made("strong", states[state]), made("span", words));
    return line;
  });
  const differences =
    report.differences.length === 0
      ? []
      : [
          table(
            "What differs",
            ["where", "what", "the certificate says", "the log gives"],
            report.differences.map(({ where, what, stated, recomputed }) => [where, what, stated, recomputed]),
            "differences",
          ),
        ];
  return [
    made("h2", headings[report.verdict], report.verdict),
    ...findings,
    ...differences,
    ...factsOf(report),
    ...figuresOf(report),
  ];
};

let given: readonly GivenFile[] = [];

const take = async (files: Iterable<ChosenFile>): Promise<void> => {
  const added = await Promise.all(
    [...files].map(async (file) => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) })),
  );
  // A file given again takes the place of the one of its name.
  given = [...given.filter(({ name }) => !added.some((file) => file.name === name)), ...added];
  part("report").replaceChildren(made("p", "Working the figures out again …", "note"));
  const verified = await verifyFiles(given, inflate);
  part("given").replaceChildren(...verified.files.map(({ name, taken }) => made("li", `${name}: ${taken}`)));
  part("report").replaceChildren(...shown(verified));
};

/** What nobody expected is told as what it is. */
const tell = (thrown: unknown): void =>
  part("report").replaceChildren(
    made("h2", "The files could not be looked at.", "fails"),
    made("p", thrown instanceof Error ? thrown.message : String(thrown)),
  );

const chooser = part("files");
chooser.addEventListener("change", () => {
  const files = [...(chooser.files ?? [])];
  // The same file may be chosen again after it was changed.
  chooser.value = "";
  void take(files).catch(tell);
});
const drop = part("drop");
for (const name of ["dragenter", "dragover"])
  document.body.addEventListener(name, (event) => {
    event.preventDefault();
    drop.dataset["over"] = "true";
  });
for (const name of ["dragleave", "drop"]) document.body.addEventListener(name, () => (drop.dataset["over"] = "false"));
document.body.addEventListener("drop", (event) => {
  event.preventDefault();
  void take([...(event.dataTransfer?.files ?? [])]).catch(tell);
});

import { createHash } from "node:crypto";
import { build, type Plugin } from "vite";

/** What the bundler made, as far as it is looked at here. */
interface Made {
  readonly type: "asset" | "chunk";
  readonly code?: string;
  readonly source?: string | Uint8Array;
}

const hashOf = (text: string): string => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

const textOf = ({ code, source }: Made): string =>
  code ?? (typeof source === "string" ? source : new TextDecoder().decode(source));

/** Takes script and style into the page, and lets nothing else be loaded: neither from a network nor from a disk. */
const inlined = (page: string): Plugin => ({
  name: "inlined-page",
  enforce: "post",
  generateBundle(_, bundle) {
    const files = Object.entries(bundle as unknown as Record<string, Made>);
    const whole = (ending: string): string =>
      files
        .filter(([name]) => name.endsWith(ending))
        .map(([, made]) => textOf(made))
        .join("\n");
    // A script inside a page ends at the first such text, wherever it stands.
    const script = whole(".js").replaceAll("</script", "<\\/script");
    const entry = files.find(([name]) => name.endsWith(".html"));
    if (entry === undefined) this.error("The page itself is missing.");
    const source = textOf(entry[1]);
    const [, style = ""] = /<style>([\s\S]*?)<\/style>/.exec(source) ?? [];
    const policy = `default-src 'none'; script-src ${hashOf(script)}; style-src ${hashOf(style)}; base-uri 'none'; form-action 'none'`;
    const html = source
      .replaceAll(/<script\b[^>]*><\/script>/g, "")
      .replace("<!-- CONTENT-POLICY -->", () => `<meta http-equiv="Content-Security-Policy" content="${policy}" />`)
      .replace("</body>", () => `<script>${script}</script></body>`);
    for (const [name] of files) delete bundle[name];
    this.emitFile({ type: "asset", fileName: page, source: html });
  },
});

/**
 * After the pages of the station, one page more: a single file that works from a disk, without server and network.
 * @param from folder of the page's source, which holds `page`
 * @param to folder into which the page is written
 */
export const singlePage = (options: { readonly from: string; readonly page: string; readonly to: string }): Plugin => ({
  name: "single-page",
  apply: "build",
  closeBundle: {
    sequential: true,
    async handler() {
      await build({
        configFile: false,
        root: options.from,
        logLevel: "warn",
        plugins: [inlined(options.page)],
        build: {
          outDir: options.to,
          emptyOutDir: false,
          target: "es2022",
          assetsInlineLimit: Number.MAX_SAFE_INTEGER,
          modulePreload: false,
          chunkSizeWarningLimit: 2_000,
          rollupOptions: { input: `${options.from}/${options.page}`, output: { format: "iife" } },
        },
      });
    },
  },
});

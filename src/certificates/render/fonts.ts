import { readFileSync } from "node:fs";
import { glyphCoverage, type Coverage } from "./glyph-coverage.ts";

/** The fonts of the certificate, in the order in which a glyph is looked for. Licences lie beside them. */
const families = [
  {
    family: "Atkinson Hyperlegible Next",
    files: [
      "AtkinsonHyperlegibleNext-Regular.ttf",
      "AtkinsonHyperlegibleNext-SemiBold.ttf",
      "AtkinsonHyperlegibleNext-SemiBoldItalic.ttf",
    ],
  },
  { family: "Noto Sans", files: ["NotoSans-Regular.ttf", "NotoSans-SemiBold.ttf"] },
  { family: "Droid Sans Fallback", files: ["DroidSansFallbackFull.ttf"] },
] as const;

export interface Fonts {
  readonly names: readonly string[];
  readonly blobs: readonly Buffer[];
  readonly covers: Coverage;
}

let loaded: Fonts | null = null;

/** The fonts with what they cover; read once, because they are the same for every certificate. */
export const certificateFonts = (): Fonts => {
  if (loaded !== null) return loaded;
  const blobs = families.map(({ files }) =>
    files.map((file) => readFileSync(new URL(`fonts/${file}`, import.meta.url))),
  );
  const coverages = blobs.map(([regular]) => glyphCoverage(regular!));
  loaded = {
    names: families.map(({ family }) => family),
    blobs: blobs.flat(),
    covers: (codePoint) => coverages.some((covers) => covers(codePoint)),
  };
  return loaded;
};

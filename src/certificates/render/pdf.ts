import type { CertificateDocument, Finding } from "../document/model.ts";
import { certificateFonts } from "./fonts.ts";
import type { LaboratoryPictures, PictureFile } from "./picture-file.ts";
import { typeset, type TypesetFile, type TypesetOptions } from "./typesetter.ts";
import { typstData } from "./typst-data.ts";
import { visibleText } from "./visible-text.ts";

const replacedWarning = (replaced: ReadonlySet<string>): readonly Finding[] =>
  replaced.size === 0
    ? []
    : [
        {
          clause: "7.8.1.2",
          message: `The fonts of the certificate do not have every character of its texts. On paper these are written as their Unicode codes: ${[...replaced].join(", ")}. The XML has the characters themselves.`,
        },
      ];

const pictureAt = (name: string, picture: PictureFile | undefined): TypesetFile | null =>
  picture === undefined ? null : { path: `/${name}.${picture.type}`, bytes: picture.bytes };

/**
 * Sets the certificate as PDF/A-3a with the XML attached: its languages one after another, the binding one first.
 * Same documents, pictures and XML, same bytes: the time stamp is the day of issue.
 * @throws Fault `internal` where the template or a font fails, with the compiler's own words.
 */
export const renderPdf = (
  documents: readonly [CertificateDocument, ...CertificateDocument[]],
  xml: string,
  pictures: LaboratoryPictures = {},
  standard: TypesetOptions["standard"] = "a-3a",
): { pdf: Uint8Array; warnings: readonly Finding[] } => {
  const fonts = certificateFonts();
  const visible = visibleText(fonts.covers);
  const logo = pictureAt("logo", pictures.logo);
  const symbol = pictureAt("symbol", pictures.symbol);
  const data = typstData(documents, visible.text, {
    fonts: fonts.names,
    logo: logo?.path ?? null,
    symbol: symbol?.path ?? null,
  });
  const { pdf, warnings } = typeset({
    template: "certificate.typ",
    files: [
      { path: "/certificate.json", bytes: data },
      { path: "/certificate.xml", bytes: xml },
      ...[logo, symbol].filter((file) => file !== null),
    ],
    day: documents[0].dates.issued,
    standard,
  });
  return { pdf, warnings: [...replacedWarning(visible.replaced), ...warnings] };
};

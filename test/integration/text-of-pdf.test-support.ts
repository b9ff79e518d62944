import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";

/** Text of a PDF's pages, spaces of every width as one plain space. */
export const textOfPdf = async (bytes: Uint8Array): Promise<string> => {
  const task = getDocument({ data: bytes.slice(), verbosity: 0 });
  const document = await task.promise;
  const pages: string[] = [];
  for (let number = 1; number <= document.numPages; number += 1) {
    const { items } = await (await document.getPage(number)).getTextContent();
    pages.push(items.map((item) => ("str" in item ? `${item.str}${item.hasEOL ? "\n" : ""}` : "")).join(""));
  }
  await task.destroy();
  return pages.join("\n").replaceAll(/\s+/gu, " ");
};

import { XmlDocument } from "libxml2-wasm";
import { expect, it } from "vitest";
import { switchRun } from "../fixtures/switch-run.test-support.ts";
import { renderCertificate } from "./render-certificate.ts";

const names = { dcc: "https://ptb.de/dcc", si: "https://ptb.de/si" };

it("the XML of a switch holds trip, reset and dead band as quantities of their own, each with its U", () => {
  const { xml, document } = renderCertificate(switchRun([90.3, 86.9, 90.4, 86.8]));
  const parsed = XmlDocument.fromString(xml);
  try {
    const texts = (path: string): string[] => parsed.find(path, names).map((node) => node.content);
    const lists = "//dcc:list[@refType='dwellpoint_switchAction']";
    expect(texts(`${lists}/dcc:name/dcc:content[@lang='en']`)).toEqual([
      "Trip: opens, rising",
      "Reset: closes, falling",
      "Dead band",
    ]);
    expect(texts(`${lists}/dcc:name/dcc:content[@lang='de']`)).toEqual([
      "Schaltpunkt: öffnet, steigend",
      "Rückschaltpunkt: schließt, fallend",
      "Schalthysterese",
    ]);
    const rows = document.items[0]!.passes[0]!.rows;
    for (const [index, type] of ["tripTemperature", "resetTemperature", "deadBand"].entries()) {
      const quantity = `//dcc:quantity[contains(@refType, 'dwellpoint_${type}')]`;
      expect(texts(`${quantity}/si:realListXMLList/si:valueXMLList`)).toEqual([rows[index]!.measured!.plain]);
      expect(texts(`${quantity}//si:valueExpandedMUXMLList`)).toEqual([rows[index]!.U.plain]);
    }
    expect(texts("//dcc:conformityXMLList")).toEqual(["pass", "pass"]);
  } finally {
    parsed.dispose();
  }
});

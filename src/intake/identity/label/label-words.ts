import { success, type Outcome } from "#fault";
import type { BroughtEntry } from "../brought.ts";
import { writeLabelCode } from "./label-code.ts";

/** What stands on the label of a kit entry, beside its code. */
export interface LabelWords {
  readonly heading: string;
  readonly lines: readonly { readonly label: string; readonly text: string }[];
  readonly code: string;
  /** Day of the file, so that one revision has one label. */
  readonly day: string | undefined;
}

const shorten = (text: string, most: number): string => (text.length > most ? `${text.slice(0, most - 1)}…` : text);

/** The words and the code of a kit entry's label. Failure as of the code: an entry too long for one. */
export const labelWords = (brought: BroughtEntry): Outcome<LabelWords> => {
  const code = writeLabelCode(brought);
  if (!code.ok) return code;
  const { entry } = brought;
  const calibration = "calibration" in entry ? entry.calibration : null;
  return success({
    heading: `${entry.id} · revision ${entry.revision}`,
    lines: [
      { label: "", text: shorten(entry.description, 44) },
      { label: "Serial", text: shorten(entry.serial, 36) },
      ...(calibration === null
        ? []
        : [
            { label: "Certificate", text: shorten(calibration.certificate, 30) },
            { label: "Calibrated", text: calibration.date },
            { label: "Due", text: calibration.due },
          ]),
    ],
    code: code.value,
    day: calibration?.date,
  });
};

import type { Source, TableFigure } from "#calibration";
import type { Characterisation } from "../document/characterisation.ts";
import type { EntryChange, FigureName, FoundFigure, ProposedRevision } from "../found.ts";
import { inWords, limitsInWords } from "../words.ts";

const placed = ["stability", "axial", "radial", "loading"] as const;
type Placed = (typeof placed)[number];

/** One figure everywhere, or a table over the temperatures at which it was found. */
const tableOf = (figures: readonly FoundFigure[]): TableFigure =>
  figures.length === 1 ? figures[0]!.limit! : figures.map(({ temperature, limit }) => ({ temperature, value: limit! }));

const tableInWords = (figure: TableFigure): string =>
  typeof figure === "number"
    ? `±${inWords(figure)} K`
    : figure.map(({ temperature, value }) => `±${inWords(value)} K at ${inWords(temperature)} °C`).join(", ");

const ofName = (figures: readonly FoundFigure[], name: FigureName) =>
  figures.filter(({ figure }) => figure === name).toSorted((a, b) => a.temperature - b.temperature);

/** The indication's errors as the kit entry keeps them. */
const controlOf = (figures: readonly FoundFigure[]): NonNullable<Source["control"]> =>
  ofName(figures, "control").map(({ temperature, value, U }) => {
    const hysteresis = figures.find((each) => each.figure === "hysteresis" && each.temperature === temperature);
    return {
      temperature,
      error: Number(value.toPrecision(6)),
      U: Number(U.toPrecision(2)),
      ...(hysteresis === undefined ? {} : { hysteresis: hysteresis.limit! }),
    };
  });

/**
 * The kit entry's next revision with what the characterisation found in place of what was stated before; what was not
 * tested stays. Null where nothing that a kit entry holds was found. The evidence names the characterisation, and the budget
 * carries it on (rule K9).
 */
export const reviseSource = (document: Characterisation, figures: readonly FoundFigure[]): ProposedRevision | null => {
  const { source } = document;
  const day = document.at.slice(0, 10);
  const made = `characterisation of ${day}${document.insert === undefined ? "" : `, insert ${document.insert}`}`;
  const changes: EntryChange[] = [];
  const evidence: Partial<Record<Placed, string | undefined>> = { ...source.evidence };
  const next: Partial<Record<Placed, TableFigure>> = {};
  for (const name of placed) {
    const found = ofName(figures, name);
    if (found.length === 0) continue;
    const table = tableOf(found);
    next[name] = table;
    evidence[name] = `${made}, limit |d| + U`;
    changes.push({ field: name, before: tableInWords(source[name]), after: limitsInWords(found), reason: made });
  }
  const control = controlOf(figures);
  if (control.length > 0)
    changes.push({
      field: "control",
      before: source.control === undefined ? "not stated" : `${source.control.length} temperatures`,
      after: control
        .map(({ temperature, error, U }) => `${inWords(error)} K ± ${inWords(U)} K at ${inWords(temperature)} °C`)
        .join(", "),
      reason: made,
    });
  if (changes.length === 0) return null;
  return {
    kind: "source",
    entry: {
      ...source,
      ...next,
      ...(control.length === 0 ? {} : { control }),
      revision: source.revision + 1,
      characterised: day,
      evidence,
    },
    changes,
  };
};

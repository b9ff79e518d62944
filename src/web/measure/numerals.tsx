import type { Job, RunView } from "#contract";
import { RoleShape } from "../face/shapes.tsx";
import { placesFor, plain, signal, signed } from "../figures/digits.ts";
import { limitsText } from "../plan/words.ts";
import css from "./measure-stage.module.css";

export type NumeralName = "reference" | "indication" | "error";

const names: Record<NumeralName, { word: string; role: "reference" | "item" | "error" }> = {
  reference: { word: "reference", role: "reference" },
  indication: { word: "indication", role: "item" },
  error: { word: "error", role: "error" },
};

const Numeral = ({
  name,
  text,
  unit,
  bound,
  beneath,
  open,
}: {
  name: NumeralName;
  text: string;
  unit: string;
  bound?: string | null;
  beneath: string;
  open: () => void;
}) => (
  <button type="button" className={css.numeral} onClick={open} title="where this number comes from">
    <span className={css.name}>
      <RoleShape role={names[name].role} />
      {names[name].word}
    </span>
    <span className={css.value}>
      {text}
      {bound === undefined || bound === null ? (
        <span className={css.unit}>{unit}</span>
      ) : (
        <span className={css.bound}>
          ± {bound} {unit}
        </span>
      )}
    </span>
    <span className={css.beneath}>{beneath}</span>
  </button>
);

/** The three numerals: reference, indication, error with what is still open. Each opens its origin. */
export const Numerals = ({
  view,
  job,
  item,
  open,
}: {
  view: RunView;
  job: Job;
  item: string;
  open: (name: NumeralName) => void;
}) => {
  const { reference } = view;
  const live = view.items.find((entry) => entry.item === item);
  const settling = view.settling.find((entry) => entry.item === item);
  const missing = settling?.bound ?? null;
  // A bound of many targets is no statement yet; what can be said then is that the difference is far from steady.
  const far = settling !== undefined && missing !== null && missing > settling.target * 40;
  const bound = far ? null : missing;
  const places = far ? placesFor(settling.target * 40) : placesFor(bound);
  const nothing = "–";
  const itemWords =
    live?.latest === null || live?.latest === undefined
      ? "no reading yet"
      : `${signal(live.latest.signal)} ${live.latest.unit}`;
  const tolerance =
    live?.tolerance === null || live?.tolerance === undefined ? "" : `tolerance ${limitsText(live.tolerance)}`;
  return (
    <div className={css.face}>
      <Numeral
        name="reference"
        text={reference === null || reference.temperature === null ? nothing : plain(reference.temperature, 2)}
        unit="°C"
        beneath={
          reference === null
            ? "no reading yet"
            : `${job.kit.reference.id} · ${signal(reference.signal)} ${reference.unit}`
        }
        open={() => open("reference")}
      />
      <Numeral
        name="indication"
        text={
          live?.latest?.temperature === null || live?.latest?.temperature === undefined
            ? nothing
            : plain(live.latest.temperature, 2)
        }
        unit="°C"
        beneath={`${live?.tag ?? item} · ${itemWords}`}
        open={() => open("indication")}
      />
      <Numeral
        name="error"
        text={live?.error === null || live?.error === undefined ? nothing : signed(live.error, places)}
        unit="K"
        bound={bound === null ? null : plain(bound, places)}
        beneath={far ? `${tolerance} · far from steady` : bound === null ? tolerance : `${tolerance} · ± still open`}
        open={() => open("error")}
      />
    </div>
  );
};

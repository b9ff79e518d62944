import { useElementSize } from "@mantine/hooks";
import type { ItemHistory } from "#contract";
import { nominal as nominalText, plain, signed } from "../figures/digits.ts";
import { evenTicks } from "../judge/picture-geometry.ts";
import css from "./item-page.module.css";
import { yearScales, yearsOf, type Sight, type Years, type YearScales } from "./years-geometry.ts";

const dateText = (at: number): string => new Date(at * 86_400_000).toISOString().slice(0, 10);

const Axes = ({ scales }: { scales: YearScales }) => {
  const { values, places } = evenTicks(scales.reach);
  return (
    <g>
      {values.map((value) => (
        <g key={value}>
          <path className={css.axis} d={`M${scales.left - 5} ${scales.y(value)}h5`} />
          <text x={scales.left - 9} y={scales.y(value) + 4.5} textAnchor="end">
            {signed(value, places)}
          </text>
        </g>
      ))}
      <text x={scales.left - 9} y={scales.top - 10} textAnchor="end">
        K
      </text>
      {scales.years.map(({ at, year }) => (
        <g key={year}>
          <path className={css.axis} d={`M${scales.x(at)} ${scales.bottom}v5`} />
          <text x={scales.x(at)} y={scales.bottom + 20} textAnchor="middle">
            {year}
          </text>
        </g>
      ))}
      <path className={css.axis} d={`M${scales.left} ${scales.top}V${scales.bottom}H${scales.right}`} />
      <path className={css.zero} d={`M${scales.left} ${scales.y(0)}H${scales.right}`} />
    </g>
  );
};

const Limits = ({ limits, scales }: { limits: NonNullable<Years["limits"]>; scales: YearScales }) => {
  const [upper, lower] = [scales.y(limits.upper), scales.y(limits.lower)];
  return (
    <g>
      <rect
        className={css.corridor}
        x={scales.left}
        y={upper}
        width={scales.right - scales.left}
        height={lower - upper}
      />
      <path
        className={css.limit}
        d={`M${scales.left} ${upper}H${scales.right}M${scales.left} ${lower}H${scales.right}`}
      />
    </g>
  );
};

const Ahead = ({ ahead, scales }: { ahead: Years["ahead"]; scales: YearScales }) => {
  if (ahead.length === 0) return null;
  const along = (value: (each: Years["ahead"][number]) => number): string[] =>
    ahead.map((each) => `${scales.x(each.at)} ${scales.y(value(each))}`);
  const upper = along(({ error, band }) => error + band);
  const lower = along(({ error, band }) => error - band).toReversed();
  return (
    <g>
      <path className={css.band} d={`M${[...upper, ...lower].join("L")}Z`} />
      <path className={css.drift} d={`M${along(({ error }) => error).join("L")}`} />
    </g>
  );
};

const Mark = ({ sight, scales }: { sight: Sight; scales: YearScales }) => {
  const found = sight.kind === "as-found";
  // As found is hollow, as left solid and a little to the right, as everywhere.
  const x = scales.x(sight.at) + (found ? 0 : 9);
  const [y, high, low] = [scales.y(sight.error), scales.y(sight.error + sight.U), scales.y(sight.error - sight.U)];
  return (
    <g>
      <path className={css.interval} d={`M${x} ${high}V${low}M${x - 6} ${high}h12M${x - 6} ${low}h12`} />
      <circle
        cx={x}
        cy={y}
        r="5.5"
        fill={found ? "var(--enamel)" : "var(--ink)"}
        stroke="var(--ink)"
        strokeWidth="2.5"
      />
    </g>
  );
};

const wordsFor = ({ sights, due }: Years): string =>
  [
    ...sights.map(
      ({ at, error, U, kind }) =>
        `${dateText(at)} ${kind === "as-found" ? "as found" : "as left"} ${signed(error, 3)} ± ${plain(U, 3)} K`,
    ),
    ...(due === null ? [] : [`proposed by ${dateText(due)}`]),
  ].join("; ");

/** Errors of an item at one temperature over the years: intervals over the tolerance corridor, and the drift onward. */
export const YearsPicture = ({ history, nominal }: { history: ItemHistory; nominal: number }) => {
  const { ref, width, height } = useElementSize();
  const years = yearsOf(history, nominal);
  if (years.sights.length === 0) return <p>Nothing was measured at {nominalText(nominal)} °C.</p>;
  const scales = yearScales(years, Math.max(width, 260), Math.max(height, 200));
  return (
    <figure className={css.figure}>
      <div className={css.plot} ref={ref}>
        <svg
          role="img"
          aria-label={`Errors of ${history.summary.tag} at ${nominalText(nominal)} °C over the years. ${wordsFor(years)}`}
        >
          {years.limits !== null && <Limits limits={years.limits} scales={scales} />}
          <Ahead ahead={years.ahead} scales={scales} />
          <Axes scales={scales} />
          {years.sights.map((sight) => (
            <Mark key={`${sight.run} ${sight.kind}`} sight={sight} scales={scales} />
          ))}
          {years.due !== null && (
            <g>
              <path className={css.due} d={`M${scales.x(years.due)} ${scales.top}V${scales.bottom}`} />
              <text x={scales.x(years.due)} y={scales.top - 10} textAnchor="end">
                proposed
              </text>
            </g>
          )}
        </svg>
      </div>
      <figcaption className={css.caption}>
        <span>○ as found</span>
        <span>● as left</span>
        {years.limits !== null && <span>shaded: tolerance</span>}
        {years.ahead.length > 0 && <span>dashed: drift with its 95 % band</span>}
      </figcaption>
    </figure>
  );
};

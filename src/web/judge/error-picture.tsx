import { useElementSize } from "@mantine/hooks";
import type { ItemResult } from "#contract";
import { nominal, plain, signed } from "../figures/digits.ts";
import { passWords, stopKey } from "../job/stops.ts";
import css from "./error-picture.module.css";
import { border, dotsOf, edgesAlong, evenTicks, scalesOf, stripe, type Dot, type Scales } from "./picture-geometry.ts";

const Axes = ({ scales, temperatures }: { scales: Scales; temperatures: readonly number[] }) => {
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
      {temperatures.map((temperature) => (
        <g key={temperature}>
          <path className={css.axis} d={`M${scales.x(temperature)} ${scales.bottom}v5`} />
          <text x={scales.x(temperature)} y={scales.bottom + 20} textAnchor="middle">
            {nominal(temperature)}
          </text>
        </g>
      ))}
      <text x={scales.right} y={scales.bottom + 38} textAnchor="end">
        temperature, °C
      </text>
      <path className={css.axis} d={`M${scales.left} ${scales.top}V${scales.bottom}H${scales.right}`} />
      <path className={css.zero} d={`M${scales.left} ${scales.y(0)}H${scales.right}`} />
    </g>
  );
};

const Limits = ({ dots, scales }: { dots: readonly Dot[]; scales: Scales }) => {
  const edges = edgesAlong(dots);
  return (
    <g>
      <path
        className={css.corridor}
        d={stripe(
          edges,
          scales,
          (edge) => edge.tolerance.upper,
          (edge) => edge.tolerance.lower,
        )}
      />
      <path
        className={css.guard}
        d={stripe(
          edges,
          scales,
          (edge) => edge.tolerance.upper,
          (edge) => edge.acceptance?.upper ?? 0,
        )}
      />
      <path
        className={css.guard}
        d={stripe(
          edges,
          scales,
          (edge) => edge.acceptance?.lower ?? 0,
          (edge) => edge.tolerance.lower,
        )}
      />
      <path className={css.limit} d={border(edges, scales, (edge) => edge.tolerance.upper)} />
      <path className={css.limit} d={border(edges, scales, (edge) => edge.tolerance.lower)} />
    </g>
  );
};

const Mark = ({ dot, scales, picked, pick }: { dot: Dot; scales: Scales; picked: boolean; pick: () => void }) => {
  const { point, pass, shift, side } = dot;
  const x = scales.x(point.nominal) + shift + side;
  const y = scales.y(point.error.value);
  const high = scales.y(point.error.value + point.budget.U);
  const low = scales.y(point.error.value - point.budget.U);
  const fails = point.conformity?.decision === "fail" || point.conformity?.decision === "conditional-fail";
  const ink = fails ? "var(--trouble-mark)" : "var(--ink)";
  // As found is hollow, as left solid; a failed point is a diamond. None of it needs its colour.
  const solid = pass === "as-left" || shift === 0;
  return (
    <g className={css.hit} onClick={pick}>
      <rect x={x - 16} y={scales.top} width="32" height={scales.bottom - scales.top} fill="transparent" />
      {picked && <path d={`M${x - 8} ${scales.bottom + 1}h16l-8 -11z`} fill="var(--ink)" />}
      <path className={css.interval} stroke={ink} d={`M${x} ${high}V${low}M${x - 7} ${high}h14M${x - 7} ${low}h14`} />
      {point.approach !== undefined && (
        // Reached rising or falling: an arrow above or below the interval.
        <path
          d={point.approach === "rising" ? `M${x} ${high - 14}l5 8h-10z` : `M${x} ${low + 14}l5 -8h-10z`}
          fill={ink}
        />
      )}
      {fails ? (
        <path d={`M${x} ${y - 9}l9 9-9 9-9-9z`} fill={solid ? ink : "var(--enamel)"} stroke={ink} strokeWidth="3" />
      ) : (
        <circle cx={x} cy={y} r="6.5" fill={solid ? ink : "var(--enamel)"} stroke={ink} strokeWidth="3" />
      )}
    </g>
  );
};

/** Errors with their intervals over the tolerance corridor; what the guard band takes away is hatched. */
export const ErrorPicture = ({
  item,
  chosen,
  pick,
}: {
  item: ItemResult;
  chosen: string | null;
  pick: (stop: string) => void;
}) => {
  const { ref, width, height } = useElementSize();
  const dots = dotsOf(item);
  if (dots.length === 0) return <p>No point of {item.tag} was measured; there is nothing to draw.</p>;
  const scales = scalesOf(dots, Math.max(width, 260), Math.max(height, 200));
  const guarded = dots.some(
    ({ point }) =>
      point.conformity !== null &&
      (point.conformity.acceptance === null || point.conformity.acceptance.upper < point.conformity.tolerance.upper),
  );
  const words = dots
    .map(
      ({ pass, point }) =>
        `${passWords[pass]} ${nominal(point.nominal)} °C${point.approach === undefined ? "" : ` ${point.approach}`}: ${signed(point.error.value, 3)} ± ${plain(point.budget.U, 3)} K`,
    )
    .join("; ");
  return (
    <figure className={css.figure}>
      <div className={css.plot} ref={ref}>
        <svg role="img" aria-label={`Errors of ${item.tag} over temperature. ${words}`}>
          <defs>
            <pattern id="guard-hatch" width="7" height="7" patternTransform="rotate(45)" patternUnits="userSpaceOnUse">
              <path d="M0 0v7" stroke="var(--ready-mark)" strokeWidth="2.4" />
            </pattern>
          </defs>
          <Limits dots={dots} scales={scales} />
          <Axes scales={scales} temperatures={[...new Set(dots.map(({ point }) => point.nominal))]} />
          {dots.map((dot) => {
            const key = stopKey({ pass: dot.pass, point: dot.point.point });
            return <Mark key={key} dot={dot} scales={scales} picked={chosen === key} pick={() => pick(key)} />;
          })}
        </svg>
      </div>
      <figcaption className={css.caption}>
        {item.passes.length > 1 ? (
          <>
            <span>
              <Key filled={false} /> as found
            </span>
            <span>
              <Key filled /> as left
            </span>
          </>
        ) : (
          <span>
            <Key filled /> error with its interval ± U
          </span>
        )}
        <span>
          <svg width="22" height="10" aria-hidden="true">
            <rect width="22" height="10" fill="var(--corridor)" />
            <path d="M0 1h22M0 9h22" stroke="var(--ready-mark)" strokeWidth="2" />
          </svg>
          tolerance
        </span>
        {dots.some(({ point }) => point.approach !== undefined) && <span>▴ reached rising, ▾ falling</span>}
        {guarded && (
          <span>
            <svg width="22" height="10" aria-hidden="true">
              <rect width="22" height="10" fill="url(#guard-hatch)" />
            </svg>
            guard band
          </span>
        )}
      </figcaption>
    </figure>
  );
};

const Key = ({ filled }: { filled: boolean }) => (
  <svg width="14" height="18" aria-hidden="true">
    <path d="M7 1v16M3 1h8M3 17h8" stroke="var(--ink)" strokeWidth="2" />
    <circle cx="7" cy="9" r="4" fill={filled ? "var(--ink)" : "var(--enamel)"} stroke="var(--ink)" strokeWidth="2" />
  </svg>
);

import { useElementSize } from "@mantine/hooks";
import type { SettlingView } from "#contract";
import { onRunClock } from "../figures/clock.ts";
import { placesFor, plain, signed } from "../figures/digits.ts";
import css from "./funnel.module.css";
import {
  bandPath,
  conePath,
  kelvinTicks,
  linePath,
  minuteTicks,
  readySince,
  scalesOf,
  type FunnelScales,
  type FunnelSeries,
  type Moment,
} from "./funnel-geometry.ts";

const Axes = ({ scales, settling }: { scales: FunnelScales; settling: SettlingView }) => {
  const { left, right, top, bottom } = scales;
  const places = placesFor(settling.target);
  return (
    <g>
      {minuteTicks(scales).map((minute) => {
        const x = scales.x(scales.from + minute * 60);
        return (
          <g key={minute}>
            <path className={css.axis} d={`M${x} ${bottom}v6`} />
            <text x={x} y={bottom + 20} textAnchor="middle">
              {minute}
            </text>
          </g>
        );
      })}
      <text x={right} y={bottom + 36} textAnchor="end">
        minutes since the set point changed
      </text>
      {kelvinTicks(scales, settling.target).map((kelvin) => {
        const y = scales.y(scales.centre + kelvin);
        return (
          <g key={kelvin}>
            {kelvin !== 0 && <path className={css.grid} d={`M${left} ${y}H${right}`} />}
            <text x={left - 8} y={y + 4.5} textAnchor="end" className={kelvin === 0 ? css.firm : undefined}>
              {kelvin === 0
                ? settling.estimate === null
                  ? "0 K"
                  : `${signed(settling.estimate, places)} K`
                : `${signed(kelvin, Math.abs(kelvin) < 1 ? 1 : 0)}`}
            </text>
          </g>
        );
      })}
      <text x={left - 8} y={top - 10} textAnchor="end">
        K away
      </text>
      <path className={css.axis} d={`M${left} ${top}V${bottom}H${right}`} fill="none" />
    </g>
  );
};

const Corridor = ({ scales, settling }: { scales: FunnelScales; settling: SettlingView }) => {
  const { left, right } = scales;
  const high = scales.y(scales.centre + settling.target);
  const low = scales.y(scales.centre - settling.target);
  return (
    <g>
      <rect
        className={css.corridor}
        x={left}
        y={high}
        width={Math.max(0, right - left)}
        height={Math.max(0, low - high)}
      />
      <path className={css.corridorEdge} d={`M${left} ${high}H${right}M${left} ${low}H${right}`} />
    </g>
  );
};

const Readiness = ({
  scales,
  moment,
  settling,
  series,
}: {
  scales: FunnelScales;
  moment: Moment;
  settling: SettlingView;
  series: FunnelSeries;
}) => {
  const high = scales.y(scales.centre + settling.target);
  const low = scales.y(scales.centre - settling.target);
  const since = settling.ready ? readySince(series, settling.target) : null;
  const at = since ?? settling.forecast?.at ?? null;
  if (at === null) return null;
  const x = scales.x(at);
  const ending = x > scales.right - 150;
  const word = `ready ${since === null ? "about " : "since "}${onRunClock(moment.opened, at).text}`;
  return (
    <g>
      {since === null && settling.forecast !== null && (
        <path
          className={css.ready}
          d={`M${scales.x(settling.forecast.from)} ${low + 7}v12m0 -6H${scales.x(settling.forecast.to)}m0 -6v12`}
        />
      )}
      <path
        className={css.ready}
        d={`M${x} ${high - 34}V${low + 13}`}
        strokeDasharray={since === null ? "6 5" : undefined}
      />
      <path className={css.readyMark} d={`M${x} ${high - 9}l9 9-9 9-9-9zM${x} ${low - 9}l9 9-9 9-9-9z`} />
      <text className={css.readyWord} x={ending ? x - 9 : x + 9} y={high - 22} textAnchor={ending ? "end" : "start"}>
        {word}
      </text>
    </g>
  );
};

const Now = ({ scales, moment }: { scales: FunnelScales; moment: Moment }) => {
  const x = scales.x(moment.at);
  return (
    <g>
      <path className={css.now} d={`M${x} ${scales.top - 6}V${scales.bottom}`} />
      <path d={`M${x - 6} ${scales.top - 14}h12l-6 8z`} fill="var(--ink)" />
      <text
        className={css.firm}
        x={x + 10 > scales.right - 70 ? x - 10 : x + 10}
        y={scales.top - 6}
        textAnchor={x + 10 > scales.right - 70 ? "end" : "start"}
      >
        now {onRunClock(moment.opened, moment.at).text}
      </text>
    </g>
  );
};

const Caption = ({ settling }: { settling: SettlingView }) => (
  <figcaption className={css.caption}>
    <span>
      <svg width="22" height="10" aria-hidden="true">
        <path d="M0 5h22" stroke="var(--item-mark)" strokeWidth="2" />
      </svg>
      difference as read
    </span>
    <span>
      <svg width="22" height="10" aria-hidden="true">
        <rect width="22" height="10" fill="var(--band)" />
        <path d="M0 5h22" stroke="var(--ink)" strokeWidth="3" />
      </svg>
      estimate with its 95 % bound
    </span>
    <span>
      <svg width="22" height="10" aria-hidden="true">
        <rect width="22" height="10" fill="var(--corridor)" />
        <path d="M0 1h22M0 9h22" stroke="var(--ready-mark)" strokeWidth="2" />
      </svg>
      allowed: ±{plain(settling.target, placesFor(settling.target))} K
    </span>
  </figcaption>
);

/** In words, for those who do not see the picture. */
const inWords = (settling: SettlingView): string => {
  const places = placesFor(settling.target);
  const allowed = `allowed ±${plain(settling.target, places)} K`;
  if (settling.estimate === null || settling.bound === null) return `No estimate yet, ${allowed}.`;
  return `Estimated difference ${signed(settling.estimate, places)} K, bound ±${plain(settling.bound, placesFor(settling.bound))} K, ${allowed}. ${settling.ready ? "Ready." : "Not ready yet."}`;
};

/** The funnel: how far from ready, and for how long yet, in one picture. `past`: of a point that is behind. */
export const Funnel = ({
  moment,
  settling,
  series,
  past = false,
}: {
  moment: Moment;
  settling: SettlingView | undefined;
  series: FunnelSeries;
  past?: boolean;
}) => {
  const { ref, width, height } = useElementSize();
  if (settling === undefined) {
    return (
      <figure className={css.figure}>
        <div className={css.plot} ref={ref}>
          <p className={css.none}>The picture of settling begins with the first readings after a set point.</p>
        </div>
      </figure>
    );
  }
  const scales = scalesOf({ width: Math.max(240, width), height: Math.max(160, height) }, moment, settling, series);
  const edges = (sign: 1 | -1) =>
    series.estimate.map((estimate, index) => {
      const bound = series.bound[index];
      return estimate === null || bound === null || bound === undefined ? null : estimate + sign * bound;
    });
  return (
    <figure className={css.figure}>
      <Caption settling={settling} />
      <div className={css.plot} ref={ref}>
        <svg role="img" aria-label={`Settling of ${settling.item}: ${inWords(settling)}`}>
          <Corridor scales={scales} settling={settling} />
          <Axes scales={scales} settling={settling} />
          <path className={css.coneFill} d={conePath(moment, settling, scales, 0)} />
          <path
            className={css.cone}
            d={`${conePath(moment, settling, scales, 1)}${conePath(moment, settling, scales, -1)}`}
          />
          <path className={css.band} d={bandPath(series, scales)} />
          <path
            className={css.bandEdge}
            d={`${linePath(series.times, edges(1), scales)}${linePath(series.times, edges(-1), scales)}`}
          />
          <path className={css.difference} d={linePath(series.times, series.difference, scales)} />
          <path className={css.estimate} d={linePath(series.times, series.estimate, scales)} />
          <Readiness scales={scales} moment={moment} settling={settling} series={series} />
          {!past && <Now scales={scales} moment={moment} />}
        </svg>
      </div>
    </figure>
  );
};

import { useElementSize } from "@mantine/hooks";
import type { SweepResult } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, typeset } from "../figures/digits.ts";
import type { SwitchFinding } from "./switch-words.ts";
import css from "./switch-judgement.module.css";

const row = 74;
const top = 26;
const left = 16;
const right = 16;

const ticksOf = (least: number, span: number): number[] => {
  const step = [0.1, 0.2, 0.5, 1, 2, 5, 10].find((each) => span / each <= 9) ?? 20;
  const first = Math.ceil(least / step) * step;
  return Array.from({ length: Math.floor((least + span - first) / step) + 1 }, (_, index) =>
    Number((first + index * step).toFixed(2)),
  );
};

const verdictText = ({ conformity }: SwitchFinding): string =>
  conformity === null ? "no statement" : conformity.decision.replace("-", " ");

/** One kind of quantity over its own axis: temperatures, or the dead band. */
const Panel = ({
  findings,
  singles,
  unit,
  label,
}: {
  findings: readonly SwitchFinding[];
  singles: ReadonlyMap<string, readonly number[]>;
  unit: string;
  label: string;
}) => {
  const { ref, width } = useElementSize();
  const wide = Math.max(320, width);
  const all = findings.flatMap(({ key, value, budget, allowed }) => [
    value - budget.U,
    value + budget.U,
    ...(allowed === null ? [] : [allowed.lower, allowed.upper]),
    ...(singles.get(key) ?? []),
  ]);
  const pad = 0.06 * (Math.max(...all) - Math.min(...all)) || 0.5;
  const least = Math.min(...all) - pad;
  const span = Math.max(...all) + pad - least;
  const x = (value: number): number => left + ((value - least) * (wide - left - right)) / span;
  const height = top + findings.length * row + 30;
  const bottom = height - 26;
  const words = findings
    .map(
      (finding) =>
        `${finding.name} ${typeset(finding.reported.value)} ± ${finding.reported.U} ${finding.unit}${finding.allowed === null ? "" : `, allowed ${nominal(finding.allowed.lower)} to ${nominal(finding.allowed.upper)} ${finding.unit}`}: ${verdictText(finding)}`,
    )
    .join("; ");
  return (
    <div className={css.plot} ref={ref} style={{ height }}>
      <svg role="img" aria-label={`${label}: ${words}`} style={{ height }}>
        {ticksOf(least, span).map((tick) => (
          <g key={tick}>
            <path className={css.grid} d={`M${x(tick)} ${top}V${bottom}`} />
            <text className={css.quiet} x={x(tick)} y={bottom + 18} textAnchor="middle">
              {nominal(tick)}
            </text>
          </g>
        ))}
        <path className={css.axis} d={`M${left} ${bottom}H${wide - right}`} />
        <text className={css.quiet} x={wide - right} y={top - 8} textAnchor="end">
          {label}, {unit}
        </text>
        {findings.map((finding, index) => {
          const y = top + index * row + 46;
          const { value, budget, allowed, key } = finding;
          return (
            <g key={key}>
              <text className={css.firm} x={left} y={y - 26}>
                {finding.name}: {typeset(finding.reported.value)} ± {finding.reported.U} {finding.unit},{" "}
                {verdictText(finding)}
              </text>
              {allowed !== null && (
                <g>
                  <rect
                    className={css.allowed}
                    x={x(allowed.lower)}
                    y={y - 17}
                    width={Math.max(1, x(allowed.upper) - x(allowed.lower))}
                    height={34}
                  />
                  <path
                    className={css.allowedEdge}
                    d={`M${x(allowed.lower)} ${y - 17}v34M${x(allowed.upper)} ${y - 17}v34`}
                  />
                </g>
              )}
              {(singles.get(key) ?? []).map((single) => (
                <circle key={single} className={css.single} cx={x(single)} cy={y + 11} r="4" />
              ))}
              <path
                className={css.interval}
                d={`M${x(value - budget.U)} ${y - 8}v16m0 -8H${x(value + budget.U)}m0 -8v16`}
              />
              <path className={css.value} d={`M${x(value)} ${y - 9}l9 9-9 9-9-9z`} />
            </g>
          );
        })}
      </svg>
    </div>
  );
};

/** The changes as they were read on each ramp, by the finding that they belong to. */
const singlesOf = (findings: readonly SwitchFinding[], sweeps: readonly SweepResult[]) =>
  new Map(
    findings
      .filter(({ what }) => what === "change")
      .map(({ key, name }) => [
        key,
        sweeps.flatMap(({ direction, temperature }) =>
          temperature !== null && name.endsWith(direction) ? [temperature.value] : [],
        ),
      ]),
  );

/** Opening and closing temperature with their intervals over what is allowed, and the dead band beside them. */
export const SwitchPicture = ({
  findings,
  sweeps,
}: {
  findings: readonly SwitchFinding[];
  sweeps: readonly SweepResult[];
}) => {
  const changes = findings.filter(({ what }) => what === "change");
  const bands = findings.filter(({ what }) => what === "dead-band");
  const singles = singlesOf(findings, sweeps);
  return (
    <figure className={css.picture}>
      {changes.length > 0 && <Panel findings={changes} singles={singles} unit="°C" label="temperature of the change" />}
      {bands.length > 0 && <Panel findings={bands} singles={singles} unit="K" label="dead band" />}
      <figcaption className={parts.note}>
        Diamond and bar: value with its U. Green field: what is allowed. Open circles: each ramp as it was read, the lag
        still in it.
      </figcaption>
    </figure>
  );
};

import type { UpkeepFinding } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape, VerdictShape } from "../face/shapes.tsx";
import { nominal, plain, signed } from "../figures/digits.ts";
import { TimePlot } from "../figures/time-plot.tsx";
import css from "./upkeep-page.module.css";

const verdictWords: Readonly<Record<UpkeepFinding["verdict"], string>> = {
  conclusive: "It shows what it was made for",
  inconclusive: "It shows nothing yet",
  "go-on": "Go on",
  repeat: "Repeat the check",
  "out-of-service": "Take it out of service",
};

const figureWords: Readonly<Record<UpkeepFinding["figures"][number]["figure"], string>> = {
  stability: "Stability",
  axial: "Axial uniformity",
  radial: "Radial uniformity",
  loading: "Loading",
  hysteresis: "Hysteresis of the indication",
  control: "Error of the indication",
  conduction: "Conduction along the stem",
  selfHeating: "Self-heating",
  shift: "Shift",
};

const VerdictMark = ({ verdict }: { verdict: UpkeepFinding["verdict"] }) => {
  if (verdict === "out-of-service") return <VerdictShape decision="fail" />;
  if (verdict === "conclusive" || verdict === "go-on") return <VerdictShape decision="pass" />;
  return <CautionShape />;
};

const Figures = ({ figures }: { figures: UpkeepFinding["figures"] }) => (
  <div className={css.wide} role="region" aria-label="Figures" tabIndex={0}>
    <table className={parts.table}>
      <thead>
        <tr>
          <th scope="col">Figure</th>
          <th scope="col">°C</th>
          <th scope="col">found, mK</th>
          <th scope="col">U, mK</th>
          <th scope="col">limit, mK</th>
        </tr>
      </thead>
      <tbody>
        {figures.map((figure) => (
          <tr key={`${figure.figure} ${figure.temperature}`}>
            <th scope="row">{figureWords[figure.figure]}</th>
            <td>{nominal(figure.temperature)}</td>
            <td>{signed(figure.value * 1000, 1)}</td>
            <td>{plain(figure.U * 1000, 1)}</td>
            <td>{figure.limit === null ? "–" : `±${plain(figure.limit * 1000, 1)}`}</td>
          </tr>
        ))}
      </tbody>
    </table>
  </div>
);

/** What a shift means at every temperature: drawn, and as a table for exact figures. */
const Everywhere = ({ rows }: { rows: UpkeepFinding["everywhere"] }) => (
  <>
    <h3>What it means at every temperature</h3>
    <TimePlot
      times={rows.map(({ temperature }) => temperature)}
      lines={[
        {
          name: "the whole curve scales (ratio W held)",
          unit: "mK",
          colour: "--reference-mark",
          width: 2.5,
          points: true,
          values: rows.map(({ ratioHeld }) => ratioHeld * 1000),
        },
        {
          name: "the same ohms everywhere",
          unit: "mK",
          colour: "--source-mark",
          dash: [7, 5],
          points: true,
          values: rows.map(({ sameOhms }) => sameOhms * 1000),
        },
      ]}
      x="temperature, °C"
      y="reads too high by, mK"
      label="What the shift means over temperature"
    />
    <div className={css.wide} role="region" aria-label="What the shift means at every temperature" tabIndex={0}>
      <table className={parts.table}>
        <thead>
          <tr>
            <th scope="col">°C</th>
            <th scope="col">W held, mK</th>
            <th scope="col">± 2u, mK</th>
            <th scope="col">same ohms, mK</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ temperature, ratioHeld, sameOhms, u }) => (
            <tr key={temperature}>
              <th scope="row">{nominal(temperature)}</th>
              <td>{signed(ratioHeld * 1000, 1)}</td>
              <td>{plain(2000 * u, 1)}</td>
              <td>{signed(sameOhms * 1000, 1)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  </>
);

/** One test with what it came to: verdict, figures, warnings, what it would change. */
export const FindingView = ({ finding }: { finding: UpkeepFinding }) => (
  <>
    <p className={css.verdict}>
      <VerdictMark verdict={finding.verdict} /> {verdictWords[finding.verdict]}
    </p>
    <p>{finding.statement}</p>
    {finding.figures.length > 0 && <Figures figures={finding.figures} />}
    {finding.warnings.length > 0 && (
      <ul className={css.warnings} aria-label="To mind">
        {finding.warnings.map((warning) => (
          <li key={warning}>
            <CautionShape />
            <span>{warning}</span>
          </li>
        ))}
      </ul>
    )}
    {finding.everywhere.length > 0 && <Everywhere rows={finding.everywhere} />}
    {finding.figures.length > 0 && (
      <details>
        <summary>How the figures were found</summary>
        <ul>
          {finding.figures.map(({ figure, temperature, rationale }) => (
            <li key={`${figure} ${temperature}`}>
              {nominal(temperature)} °C: {rationale}.
            </li>
          ))}
        </ul>
      </details>
    )}
    {finding.changes.length > 0 && (
      <>
        <h3>What it changes in the kit entry, once approved</h3>
        <ul>
          {finding.changes.map(({ field, before, after }) => (
            <li key={field}>
              <strong>{field}</strong>: {before} → {after}
            </li>
          ))}
        </ul>
      </>
    )}
    {finding.rehearsal && (
      <p className={parts.trouble}>
        <TroubleShape />
        <span>Made on a simulated bench: no evidence about real equipment.</span>
      </p>
    )}
  </>
);

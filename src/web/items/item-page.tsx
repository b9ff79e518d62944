import { useQuery } from "@tanstack/react-query";
import { getRouteApi, Link } from "@tanstack/react-router";
import { useEffect, useState } from "react";
import type { EarlierCalibration, EarlierPoint, IntervalProposal, ItemHistory } from "#contract";
import { Page } from "../face/page.tsx";
import parts from "../face/parts.module.css";
import { Verdict } from "../face/shapes.tsx";
import { nominal as nominalText, percent, placesFor, plain, signed } from "../figures/digits.ts";
import { questions, wordsOf } from "../station.ts";
import css from "./item-page.module.css";
import { temperaturesOf } from "./years-geometry.ts";
import { YearsPicture } from "./years-picture.tsx";

const route = getRouteApi("/items/$item");

const methodWords: Readonly<Record<IntervalProposal["methods"][number]["method"], string>> = {
  staircase: "staircase",
  drift: "control chart of the drift",
  reliability: "reliability so far",
};

const months = (value: number): string => `${plain(value, value < 10 ? 1 : 0)} months`;

const Due = ({ proposal }: { proposal: IntervalProposal }) => (
  <section className={parts.section} aria-label="When next">
    <h2>When next</h2>
    {proposal.months === null ? (
      <p className={css.lead}>{proposal.reason}</p>
    ) : (
      <>
        <p className={css.lead}>
          <strong className={css.big}>{proposal.due}</strong> by its history: {proposal.months} months after the last
          calibration{proposal.inUse === null ? "" : `, ${months(proposal.inUse)} in use`}.
        </p>
        <table className={`${parts.table} ${css.methods}`}>
          <thead>
            <tr>
              <th scope="col">method (ILAC-G24 / OIML D 10)</th>
              <th scope="col" className={parts.figure}>
                says
              </th>
              <th scope="col">because</th>
            </tr>
          </thead>
          <tbody>
            {proposal.methods.map(({ method, months: says, reason }) => (
              <tr key={method}>
                <td>{methodWords[method]}</td>
                <td className={parts.figure}>{says === null ? "–" : months(says)}</td>
                <td>{reason}</td>
              </tr>
            ))}
          </tbody>
        </table>
        <p className={parts.note}>
          The shortest counts, at most doubled or halved at once. It is for whoever sets the interval; no certificate or
          label carries it unless that was agreed with the customer.
        </p>
      </>
    )}
    {proposal.reliability !== null && (
      <p>
        Found good {proposal.reliability.good} of {proposal.reliability.of} times; so few sights allow{" "}
        {percent(proposal.reliability.interval[0])} to {percent(proposal.reliability.interval[1])} (95 %).
      </p>
    )}
  </section>
);

const Stated = ({ stated }: { stated: EarlierPoint["asFound"] }) => {
  if (stated === null) return <td className={parts.figure}>–</td>;
  const places = placesFor(2 * stated.u);
  return (
    <td className={parts.figure}>
      {signed(stated.error, places)} <span className={parts.note}>± {plain(2 * stated.u, places)}</span>
    </td>
  );
};

const Calibrations = ({ history, nominal }: { history: ItemHistory; nominal: number }) => {
  const numberOf = new Map(history.certificates.map(({ run, number }) => [run, number]));
  const rows = history.calibrations.flatMap((calibration: EarlierCalibration) => {
    const point = calibration.points.find((each) => each.nominal === nominal);
    return point === undefined ? [] : [{ calibration, point }];
  });
  return (
    <div className={css.wide}>
      <table className={parts.table}>
        <thead>
          <tr>
            <th scope="col">day</th>
            <th scope="col" className={parts.figure}>
              as found, K
            </th>
            <th scope="col" className={parts.figure}>
              as left, K
            </th>
            <th scope="col" className={css.after}>
              statement
            </th>
            <th scope="col">run, certificate</th>
          </tr>
        </thead>
        <tbody>
          {rows.toReversed().map(({ calibration: { day, run }, point }) => (
            <tr key={run}>
              <td>{day}</td>
              <Stated stated={point.asFound} />
              <Stated stated={point.asLeft} />
              <td className={css.after}>
                <Verdict decision={(point.asLeft ?? point.asFound)?.decision ?? null} absent="none" />
              </td>
              <td>
                {run}
                {numberOf.has(run) && <div className={parts.note}>{numberOf.get(run)}</div>}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
};

const Over = ({ history }: { history: ItemHistory }) => {
  const temperatures = temperaturesOf(history.calibrations);
  const [chosen, setChosen] = useState<number | null>(null);
  const nominal = chosen ?? temperatures[0];
  if (nominal === undefined)
    return <p className={parts.section}>No error of it was measured at a point: a switch, or runs without a result.</p>;
  const drift = history.proposal.drifts.find((each) => each.nominal === nominal);
  const places = drift === undefined ? 2 : placesFor(drift.U);
  return (
    <section className={parts.section} aria-label="Over the years">
      <h2>Over the years</h2>
      <div className={css.temperatures} role="radiogroup" aria-label="Temperature">
        {temperatures.map((temperature) => (
          <label key={temperature}>
            <input
              type="radio"
              name="temperature"
              checked={temperature === nominal}
              onChange={() => setChosen(temperature)}
            />
            <span>{nominalText(temperature)} °C</span>
          </label>
        ))}
      </div>
      <YearsPicture history={history} nominal={nominal} />
      <p>
        {drift === undefined
          ? "A drift needs two calibrations at this temperature."
          : `Drift ${signed(drift.perYear, places)} K a year, ± ${plain(drift.U, places)} K (95 %), from ${drift.calibrations} calibrations; what was adjusted is taken out.`}
      </p>
      <Calibrations history={history} nominal={nominal} />
    </section>
  );
};

/** One item: what it showed over the years, and when it is due by that. */
export const ItemPage = () => {
  const { item } = route.useParams();
  const { serial } = route.useSearch();
  const { data, error, isPending } = useQuery(questions.itemHistory(item, serial));
  const tag = data?.summary.tag ?? item;
  useEffect(() => {
    document.title = `${tag} · Dwellpoint`;
  }, [tag]);
  return (
    <Page>
      <div className={css.head}>
        <h1>{tag}</h1>
        <Link to="/items" className={parts.button}>
          All items
        </Link>
      </div>
      {isPending && <p role="status">Asking the station …</p>}
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          {wordsOf(error)}
        </p>
      )}
      {data !== undefined && (
        <>
          <p className={css.lead}>
            {data.summary.description} · serial number {data.summary.serial} · {data.summary.customer},{" "}
            {data.summary.place}
          </p>
          {data.rehearsals && <p className={parts.note}>Rehearsals only: it was never measured in earnest.</p>}
          <p>
            Last measured {data.summary.lastDay}: <Verdict decision={data.summary.decision} />{" "}
            <Link to="/jobs/$job" params={{ job: data.job }} search={{ stage: "judge", run: data.summary.lastRun }}>
              open that run
            </Link>
          </p>
          <Over history={data} />
          <Due proposal={data.proposal} />
        </>
      )}
    </Page>
  );
};

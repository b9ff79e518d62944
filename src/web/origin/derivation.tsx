import { useQuery } from "@tanstack/react-query";
import type { ReactNode } from "react";
import type { Explanation } from "#contract";
import parts from "../face/parts.module.css";
import { percent, placesFor, plain, signed } from "../figures/digits.ts";
import { questions, wordsOf } from "../station.ts";
import type { Derived } from "./derived.ts";
import css from "./origin.module.css";

const Equation = ({ symbols, values }: { symbols: string; values: string }) => (
  <div className={css.equation}>
    <p>{symbols}</p>
    <p>{values}</p>
  </div>
);

const Step = ({ title, children }: { title: string; children: ReactNode }) => (
  <li className={css.link}>
    <h3>{title}</h3>
    {children}
  </li>
);

const Conversion = ({ told, of }: { told: Explanation; of: "reference" | "item" }) => {
  const conversion = told.conversions.find((each) => each.of === of);
  if (conversion === undefined) return null;
  return (
    <Step title={`Conversion of the mean signal: ${conversion.equation}`}>
      {conversion.lines.map((line) => (
        <Equation key={line.symbols} {...line} />
      ))}
    </Step>
  );
};

const Corrections = ({ told }: { told: Explanation }) => (
  <Step title="Corrections">
    {told.corrections.map(({ name, words }) => (
      <p key={name + words}>
        <strong>{name}:</strong> {words}
      </p>
    ))}
  </Step>
);

const Model = ({ told }: { told: Explanation }) => (
  <Step title="Model equation, the values put in">
    <Equation {...told.model} />
    <p className={parts.note}>Each δ is a line of the budget, with the estimate 0.</p>
  </Step>
);

const Table = ({
  label,
  head,
  rows,
}: {
  label: string;
  head: readonly string[];
  rows: readonly (readonly string[])[];
}) => (
  <div className={css.scroll} role="region" aria-label={label} tabIndex={0}>
    <table className={parts.table}>
      <thead>
        <tr>
          {head.map((name, column) => (
            <th key={name} scope="col" className={column === 0 ? undefined : parts.figure}>
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row[0]}>
            {row.map((cell, column) =>
              column === 0 ? (
                <th key={head[column]} scope="row">
                  {cell}
                </th>
              ) : (
                <td key={head[column]} className={parts.figure}>
                  {cell}
                </td>
              ),
            )}
          </tr>
        ))}
      </tbody>
    </table>
  </div>
);

const Readings = ({ told, figure }: { told: Explanation; figure: Derived["figure"] }) => {
  const { readings, referenceUnit, itemUnit } = told;
  const hasJunction = figure !== "reference" && readings.some(({ junction }) => junction !== null);
  const shown = { reference: figure !== "indication", item: figure !== "reference", both: figure === "error" };
  const head = [
    "s",
    ...(shown.reference ? [`reference, ${referenceUnit}`, "reference, °C"] : []),
    ...(shown.item ? [`item, ${itemUnit}`, ...(hasJunction ? ["junction, °C"] : []), "item, °C"] : []),
    ...(shown.both ? ["difference, K"] : []),
  ];
  const rows = readings.map((reading) => [
    plain(reading.time, 1),
    ...(shown.reference ? [plain(reading.referenceSignal, 4), plain(reading.referenceTemperature, 4)] : []),
    ...(shown.item
      ? [
          plain(reading.itemSignal, 4),
          ...(hasJunction ? [plain(reading.junction ?? Number.NaN, 2)] : []),
          plain(reading.itemTemperature, 4),
        ]
      : []),
    ...(shown.both ? [signed(reading.difference, 4)] : []),
  ]);
  return (
    <Step title={`The ${readings.length} readings, the reference at the moment of the item`}>
      <Table label="Readings" head={head} rows={rows} />
    </Step>
  );
};

const Budget = ({ told: { result, model } }: { told: Explanation }) => (
  <Step title="Budget, line by line">
    <Table
      label="Budget, line by line"
      head={["line", "u", "c", "|c|·u, K", "share"]}
      rows={result.budget.lines.map((line, index) => [
        `${model.inputs[index]?.symbol ?? ""} ${line.name}`,
        `${plain(line.u, placesFor(line.u, 6))} ${line.unit}`,
        plain(line.sensitivity, placesFor(Math.abs(line.sensitivity), 4)),
        plain(line.contribution, placesFor(line.contribution, 5)),
        percent(line.share),
      ])}
    />
  </Step>
);

const Rule = ({ told: { decision } }: { told: Explanation }) => (
  <Step title="The rule, the values put in">
    <p>{decision.rule}</p>
    <p>{decision.comparison}</p>
    {decision.risks.map((words) => (
      <p key={words}>{words}</p>
    ))}
  </Step>
);

/** How a figure of a measured point was worked out, as the station derives it from the log: it stands inside the chain of an origin. */
export const Derivation = ({ run, derived }: { run: string; derived: Derived }) => {
  const { figure, item, pass, point } = derived;
  const { data, error, isPending } = useQuery(questions.explain(run, item, pass, point));
  if (isPending)
    return (
      <Step title="How it was worked out">
        <p role="status">Working it out from the log …</p>
      </Step>
    );
  if (error !== null)
    return (
      <Step title="How it was worked out">
        <p role="alert">{wordsOf(error)}</p>
      </Step>
    );
  return (
    <>
      {figure === "decision" && <Rule told={data} />}
      {(figure === "error" || figure === "uncertainty") && <Model told={data} />}
      {figure === "uncertainty" && <Budget told={data} />}
      {figure === "reference" && <Conversion told={data} of="reference" />}
      {figure === "indication" && <Conversion told={data} of="item" />}
      {figure === "error" && (
        <>
          <Conversion told={data} of="item" />
          <Conversion told={data} of="reference" />
          <Corrections told={data} />
        </>
      )}
      {figure !== "uncertainty" && figure !== "decision" && <Readings told={data} figure={figure} />}
    </>
  );
};

import { useQuery } from "@tanstack/react-query";
import type { Stop } from "#contract";
import parts from "../face/parts.module.css";
import { questions, wordsOf } from "../station.ts";
import { Funnel } from "./funnel.tsx";
import { seriesOf } from "./funnel-geometry.ts";

/** How a stop that is behind was approached; the same picture, to its end. */
export const PastApproach = ({
  run,
  opened,
  stop,
  item,
}: {
  run: string;
  opened: string;
  stop: Stop;
  item: string;
}) => {
  const { data, error, isPending } = useQuery(questions.approach(run, stop.pass, stop.point));
  if (isPending) return <p role="status">Fetching the approach …</p>;
  if (error !== null) return <p className={parts.note}>{wordsOf(error)}</p>;
  const series = seriesOf(data, item);
  const found = data.items.find((entry) => entry.item === item);
  const last = series.times.at(-1);
  if (found === undefined || last === undefined)
    return <p className={parts.note}>No reading was kept of this approach.</p>;
  const bound = series.bound.findLast((value) => value !== null) ?? null;
  const settling = {
    item,
    target: found.target,
    estimate: series.estimate.findLast((value) => value !== null) ?? null,
    bound,
    ready: bound !== null && bound <= found.target,
    inTheWay: [],
    forecast: null,
  };
  return (
    <Funnel past moment={{ opened, started: series.times[0] ?? 0, at: last }} settling={settling} series={series} />
  );
};

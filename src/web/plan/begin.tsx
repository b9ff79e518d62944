import { TextInput } from "@mantine/core";
import { IconPlayerPlay } from "@tabler/icons-react";
import { useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import type { JobDetail, OfferedHistory, RunSummary, RunView } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { client, questions, wordsOf } from "../station.ts";
import type { Places } from "./places.ts";
import { OtherProbe } from "./other-probe.tsx";
import css from "./plan-stage.module.css";

const readSpeed = (text: string): number | null => {
  const value = Number(text.trim().replace(",", "."));
  return text.trim() !== "" && Number.isFinite(value) && value > 0 && value <= 100_000 ? value : null;
};

const errorsWords = (offered: OfferedHistory["histories"]): string => {
  const count = offered.reduce((sum, { errors }) => sum + errors.length, 0);
  return count === 1 ? "the error found before" : `the ${count} errors found before`;
};

/** The last line of the plan: start, or why not, or that it is started already. */
export const Begin = ({
  detail,
  run,
  view,
  places,
  started,
}: {
  detail: JobDetail;
  run: RunSummary | null;
  view: RunView | null;
  places: Places;
  started: (run: string) => void;
}) => {
  const { job, plan } = detail;
  const { data: station } = useQuery(questions.station);
  const [text, setText] = useState<string | null>(null);
  const { data: known } = useQuery(questions.history(job.job));
  const [withHistory, setWithHistory] = useState(true);
  const offered = known?.histories ?? [];
  const history = withHistory && offered.length > 0;
  const queries = useQueryClient();
  const { instruments } = job.bench;
  const simulated = instruments.some(({ at }) => at === "simulated") || (job.rehearsal && instruments.length === 0);
  // Where a person reads or sets by hand, invented time goes no faster than they do unless they ask for it.
  const byHand =
    job.bench.source !== undefined || Object.values(job.bench.channels).some(({ typed }) => typed === true);
  const shown = text ?? (byHand ? "1" : station === undefined ? "" : String(station.defaultSpeed));
  const speed = readSpeed(shown);
  // The list of instruments asks; here is only said what is missing.
  const { data: asked } = useQuery({ ...questions.instruments(job.job), enabled: false });
  const missed = asked?.instruments.find(({ id, state }) => state === "silent" && places[id] === undefined);
  const start = useMutation({
    mutationFn: async (probe?: "job" | "plugged") => {
      const begun = await client.startRun(job.job, {
        ...(probe === undefined ? {} : { probe }),
        ...(simulated && speed !== null ? { speed } : {}),
        ...(history ? { history } : {}),
        ...(Object.keys(places).length > 0 ? { at: places } : {}),
      });
      // Opening a run connects the bench; the one tap on "start" means both.
      const view = await client.runView(begun.run);
      if (view.commands.includes("start")) await client.command(begun.run, { command: "start", by: job.technician });
      return begun;
    },
    onSuccess: async (begun) => {
      await queries.invalidateQueries({ queryKey: ["jobs"] });
      started(begun.run);
    },
  });
  const going = run !== null && run.state !== "ended" && view?.stage !== "ended";
  if (going) {
    return (
      <div className={css.begin}>
        <p>A run of this job is going on.</p>
        <button type="button" className={`${parts.button} ${parts.main}`} onClick={() => started(run.run)}>
          Go to measuring
        </button>
      </div>
    );
  }
  const cannot =
    simulated && station?.simulatedBench === false
      ? "This station has no simulated bench; start it with --demo, or name real instruments in the job."
      : null;
  return (
    <div className={css.begin}>
      <p role={start.error === null ? undefined : "alert"} className={start.error === null ? undefined : parts.trouble}>
        {start.error !== null && <TroubleShape />}
        {start.error !== null
          ? wordsOf(start.error)
          : (cannot ??
            (missed !== undefined
              ? `Instrument ${missed.id} does not answer: plug it in, or choose another under Instruments.`
              : plan.ready
                ? "The kit can prove what the tolerance asks. Probes in, cables clear, then start."
                : "Clear what is in the way, then start."))}
      </p>
      <OtherProbe error={start.error} decide={(probe) => start.mutate(probe)} />
      {offered.length > 0 && (
        <label className={css.history}>
          <input
            type="checkbox"
            checked={withHistory}
            onChange={(event) => setWithHistory(event.currentTarget.checked)}
          />
          <span>Take {errorsWords(offered)} as history: the global risks of the rule follow from it.</span>
        </label>
      )}
      {simulated && (
        <TextInput
          className={css.speed ?? ""}
          label="Speed, times real time"
          inputMode="decimal"
          value={shown}
          error={speed === null && shown !== "" ? "a number above 0" : undefined}
          onChange={(event) => setText(event.currentTarget.value)}
        />
      )}
      <button
        type="button"
        className={`${parts.button} ${parts.main}`}
        disabled={!plan.ready || cannot !== null || start.isPending || (simulated && speed === null)}
        onClick={() => start.mutate(undefined)}
      >
        <IconPlayerPlay size={20} aria-hidden="true" />
        {start.isPending ? "Starting …" : run === null ? "Start the run" : "Run again"}
      </button>
    </div>
  );
};

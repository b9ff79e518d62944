import { NativeSelect, TextInput } from "@mantine/core";
import { IconFileUpload } from "@tabler/icons-react";
import { keepPreviousData, useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import type { ColumnUsesMessage, Job, ReadingsFile, ReadingsQuestion, RunSummary } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { client, wordsOf } from "../station.ts";
import { BadRows } from "./bad-rows.tsx";
import { ColumnsTable } from "./columns-table.tsx";
import { FileChannels } from "./file-channels.tsx";
import { PointWindows } from "./point-windows.tsx";
import css from "./readings-import.module.css";
import { RecordPicture } from "./record-picture.tsx";
import { zoneHere } from "./column-words.ts";

const orders = [
  { value: "year-first", label: "2026-11-25" },
  { value: "day-first", label: "25.11.2026" },
  { value: "month-first", label: "11/25/2026" },
];

const isZone = (text: string): boolean => /^(Z|[+-]\d{2}:\d{2})$/.test(text);

/** What holds for the whole file: where the names stand, how dates are written, in which zone. */
const FileFields = ({
  file,
  uses,
  change,
}: {
  file: ReadingsFile;
  uses: ColumnUsesMessage;
  change: (uses: ColumnUsesMessage) => void;
}) => {
  const [zone, setZone] = useState(uses.zone ?? "");
  return (
    <div className={css.fields}>
      <NativeSelect
        label="Names of the columns stand in line"
        value={String(uses.names)}
        data={file.first.map(({ line }) => String(line))}
        onChange={(event) => {
          const names = Number(event.currentTarget.value);
          const cells = file.first.find(({ line }) => line >= names)?.cells ?? [];
          const known = new Map(uses.uses.map((each) => [each.column, each]));
          change({
            ...uses,
            names,
            uses: [...new Set(cells)]
              .filter((column) => column !== "")
              .map((column) => known.get(column) ?? { column, use: "none" }),
          });
        }}
      />
      <NativeSelect
        label="A date looks like"
        value={uses.order}
        data={orders}
        onChange={(event) => change({ ...uses, order: event.currentTarget.value as ColumnUsesMessage["order"] })}
      />
      <TextInput
        label="Time zone, where the file says none"
        placeholder="+01:00, or Z for UTC"
        value={zone}
        error={zone === "" || isZone(zone) ? undefined : "as +01:00, or Z for UTC"}
        onChange={(event) => {
          const text = event.currentTarget.value.trim();
          setZone(text);
          if (text === "" || isZone(text)) change({ ...uses, zone: text === "" ? null : text });
        }}
      />
    </div>
  );
};

/** From which moment the file counts its seconds, typed as this machine's clock shows it. */
const Started = ({ change }: { change: (utc: string | null) => void }) => (
  <TextInput
    type="datetime-local"
    step={1}
    className={css.started ?? ""}
    label="Second 0 was at"
    description="by the clock of this machine"
    onChange={(event) => {
      const at = new Date(event.currentTarget.value);
      change(Number.isNaN(at.getTime()) ? null : at.toISOString());
    }}
  />
);

/** The file once it is read: what its columns mean, what comes of it, and taking it in. */
const Understood = ({
  job,
  file,
  chooseSheet,
  taken,
}: {
  job: Job;
  file: ReadingsFile;
  chooseSheet: (sheet: string) => void;
  taken: (run: RunSummary) => void;
}) => {
  const [uses, setUses] = useState(file.uses);
  const [started, setStarted] = useState<string | null>(null);
  const [marks, setMarks] = useState<ReadingsQuestion["marks"]>(null);
  const queries = useQueryClient();
  const question: ReadingsQuestion = { file: file.file, uses, started, marks };
  const { data: check, error } = useQuery({
    queryKey: ["readings", job.job, question],
    queryFn: () => client.checkReadings(job.job, question),
    placeholderData: keepPreviousData,
    staleTime: Number.POSITIVE_INFINITY,
    refetchOnWindowFocus: false,
  });
  const take = useMutation({
    mutationFn: () => client.takeReadings(job.job, question),
    onSuccess: async (run) => {
      await queries.invalidateQueries({ queryKey: ["jobs"] });
      taken(run);
    },
  });
  const change = (next: ColumnUsesMessage): void => {
    take.reset();
    setMarks(null);
    setUses(next);
  };
  const trouble = take.error ?? error;
  return (
    <>
      <p role="status">
        <strong>{file.name}</strong>, {file.rows} rows.{" "}
        {file.usesFrom === "remembered"
          ? "A file of this shape was taken in before: its columns mean the same."
          : "What its columns mean is a guess from their names: look at each."}
      </p>
      {file.sheets.length > 1 && (
        <NativeSelect
          className={css.started ?? ""}
          label="Sheet"
          value={file.sheet ?? ""}
          data={file.sheets}
          onChange={(event) => chooseSheet(event.currentTarget.value)}
        />
      )}
      <FileFields file={file} uses={uses} change={change} />
      <ColumnsTable job={job} file={file} uses={uses} change={change} />
      {check !== undefined && <FileChannels job={job} names={check.fileChannels} uses={uses} change={change} />}
      {check?.needsStart === true && <Started change={setStarted} />}
      {check !== undefined && check.channels.length > 0 && (
        <>
          <p>
            Understood:{" "}
            {check.channels.map(({ channel, unit, readings }) => `${readings} of ${channel} in ${unit}`).join(", ")}.
            {check.unused.length > 0 && ` Not used: ${check.unused.join(", ")}.`}
          </p>
          <RecordPicture check={check} />
          <PointWindows check={check} setMarks={setMarks} />
        </>
      )}
      {check !== undefined && check.obstacle !== null && <BadRows check={check} />}
      {trouble !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(trouble)}</span>
        </p>
      )}
      <div className={css.take}>
        <button
          type="button"
          className={`${parts.button} ${parts.main}`}
          disabled={check === undefined || check.obstacle !== null || take.isPending}
          onClick={() => take.mutate()}
        >
          {take.isPending ? "Taking in …" : "Take these readings in"}
        </button>
        <p className={parts.note}>
          They become a run that has ended, with its log; then it is judged and issued like any other. Readings that
          were recorded hold no evidence of settling: the drift over each window goes into its budget.
        </p>
      </div>
    </>
  );
};

/** Readings that were recorded elsewhere: a file, what its columns mean, the windows of the points, a run. */
export const ReadingsImport = ({ job, taken }: { job: Job; taken: (run: RunSummary) => void }) => {
  const [file, setFile] = useState<File | null>(null);
  const look = useMutation({
    mutationFn: async ({ chosen, sheet }: { chosen: File; sheet?: string }) =>
      client.lookAtReadings(job.job, new Uint8Array(await chosen.arrayBuffer()), {
        name: chosen.name,
        zone: zoneHere(new Date()),
        ...(sheet === undefined ? {} : { sheet }),
      }),
  });
  const choose = (chosen: File | undefined): void => {
    if (chosen === undefined) return;
    setFile(chosen);
    look.mutate({ chosen });
  };
  return (
    <div className={css.import}>
      <div className={css.take}>
        <span className={`${parts.button} ${css.choose}`}>
          <IconFileUpload size={20} aria-hidden="true" />
          {file === null ? "Choose a file" : "Choose another file"}
          <input
            type="file"
            accept=".csv,.txt,.tsv,.xlsx,.xlsm"
            aria-label="Choose a file of readings"
            onChange={(event) => {
              choose(event.currentTarget.files?.[0]);
              // The same file may be chosen again after it was corrected.
              event.currentTarget.value = "";
            }}
          />
        </span>
        <p className={parts.note}>CSV or XLSX, 16 MiB at most. Nothing is recorded before you say so.</p>
      </div>
      {look.isPending && <p role="status">Reading the file …</p>}
      {look.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(look.error)}</span>
        </p>
      )}
      {look.data !== undefined && file !== null && !look.isPending && (
        <Understood
          key={`${look.data.file} ${look.submittedAt}`}
          job={job}
          file={look.data}
          chooseSheet={(sheet) => look.mutate({ chosen: file, sheet })}
          taken={taken}
        />
      )}
    </div>
  );
};

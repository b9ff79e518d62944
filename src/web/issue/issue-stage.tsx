import { TextInput } from "@mantine/core";
import { IconDownload, IconExternalLink, IconTag } from "@tabler/icons-react";
import { useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import {
  paths,
  type CertificateLanguage,
  type CertificateSummary,
  type Job,
  type ResultAnswer,
  type RunSummary,
} from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape, Verdict, VerdictShape } from "../face/shapes.tsx";
import { atTime } from "../figures/clock.ts";
import type { Stage } from "../job/job-search.ts";
import { client, questions, wordsOf } from "../station.ts";
import { Interval, isWhole, type AgreedInterval } from "./interval.tsx";
import css from "./issue-stage.module.css";
import { Languages } from "./languages.tsx";

const Checks = ({ check }: { check: ResultAnswer["check"] }) => (
  <section className={css.block} aria-label="Check list">
    <h2>{check.stops.length > 0 ? "Not yet: this must be put right" : "Nothing stands in the way"}</h2>
    <ul className={css.checks}>
      {check.stops.map((entry) => (
        <li key={`${entry.clause} ${entry.message}`}>
          <TroubleShape />
          <span>
            {entry.message} <span className={parts.note}>({entry.clause})</span>
          </span>
        </li>
      ))}
      {check.warnings.map((entry) => (
        <li key={`${entry.clause} ${entry.message}`}>
          <CautionShape />
          <span>
            {entry.message} <span className={parts.note}>({entry.clause})</span>
          </span>
        </li>
      ))}
      {check.stops.length + check.warnings.length === 0 && (
        <li>
          <VerdictShape decision="pass" />
          <span>The check list after ISO/IEC 17025:2017, 7.8, found nothing missing.</span>
        </li>
      )}
    </ul>
  </section>
);

/** What the person who issues may settle: what stands in the way of issue then is another question. */
interface Terms {
  readonly languages: readonly CertificateLanguage[];
  readonly interval: AgreedInterval | null;
  readonly withoutRemarks: boolean;
}

/** Stops that stay with these terms: words of a next calibration are answered by leaving them off, or by an agreement. */
const left = (stops: ResultAnswer["check"]["stops"], { interval, withoutRemarks }: Terms) =>
  stops.filter(({ clause }) => clause !== "7.8.4.3" || !(withoutRemarks || interval !== null));

const Sign = ({
  job,
  run,
  check,
  terms,
  change,
}: {
  job: Job;
  run: string;
  check: ResultAnswer["check"];
  terms: Terms;
  change: (terms: Terms) => void;
}) => {
  const [name, setName] = useState(job.authorisedBy ?? "");
  const queries = useQueryClient();
  const { languages, interval, withoutRemarks } = terms;
  const issue = useMutation({
    mutationFn: () =>
      client.issue(run, {
        authorisedBy: name.trim(),
        languages: [...languages],
        ...(interval === null ? {} : { interval }),
        ...(withoutRemarks ? { withoutRemarks } : {}),
      }),
    onSuccess: () => queries.invalidateQueries(),
  });
  return (
    <section className={css.block} aria-label="Issue">
      <form
        className={css.form}
        style={{ marginTop: 0 }}
        onSubmit={(event) => {
          event.preventDefault();
          issue.mutate();
        }}
      >
        <TextInput
          label="Authorised by"
          description="This name stands on the certificate as the one who answers for it."
          value={name}
          maxLength={120}
          onChange={(event) => setName(event.currentTarget.value)}
        />
        <Languages value={languages} change={(chosen) => change({ ...terms, languages: chosen })} />
        <Interval value={interval} change={(agreed) => change({ ...terms, interval: agreed })} />
        {job.conditions.remarks !== undefined && (
          <label className={css.tick}>
            <input
              type="checkbox"
              checked={withoutRemarks}
              onChange={(event) => change({ ...terms, withoutRemarks: event.currentTarget.checked })}
            />
            Leave the job’s remarks off the certificate
          </label>
        )}
        {issue.error !== null && (
          <p role="alert" className={parts.trouble}>
            <TroubleShape /> <span>{wordsOf(issue.error)}</span>
          </p>
        )}
        <button
          type="submit"
          className={`${parts.button} ${parts.main}`}
          disabled={name.trim() === "" || left(check.stops, terms).length > 0 || !isWhole(interval) || issue.isPending}
        >
          {issue.isPending ? "Issuing …" : "Issue the certificate"}
        </button>
        <p className={parts.note}>
          What is issued stays; it is kept with its log, and a later correction is a new certificate that names this
          one.
        </p>
      </form>
    </section>
  );
};

const Issued = ({
  number,
  certificate,
  run,
}: {
  number: string;
  certificate: CertificateSummary | undefined;
  run: string;
}) => {
  const issued = certificate === undefined ? null : atTime(certificate.issued);
  return (
    <section className={css.block} aria-label="Issued">
      <h2>Issued</h2>
      <p className={css.number}>{number}</p>
      {certificate !== undefined && issued !== null && (
        <p className={parts.note}>
          <time dateTime={issued.iso} title={issued.utc}>
            {issued.text}
          </time>
          , authorised by {certificate.authorisedBy} · <Verdict decision={certificate.decision} />
        </p>
      )}
      <div className={css.files}>
        <a className={`${parts.button} ${parts.main}`} href={paths.certificatePdf(number)} download>
          <IconDownload size={20} aria-hidden="true" /> Certificate, PDF
        </a>
        <a className={parts.button} href={paths.certificateXml(number)} download>
          <IconDownload size={20} aria-hidden="true" /> Data, XML
        </a>
        <a className={parts.button} href={paths.runLog(run)} download>
          <IconDownload size={20} aria-hidden="true" /> Run log, JSON Lines
        </a>
        {certificate?.withdrawn === null &&
          certificate.replacedBy === null &&
          certificate.items.map(({ item, tag }) => (
            <a key={item} className={parts.button} href={paths.certificateLabel(number, item)} target="_blank">
              <IconTag size={20} aria-hidden="true" /> Label for {tag}
            </a>
          ))}
      </div>
    </section>
  );
};

const Preview = ({ address, name }: { address: string; name: string }) => (
  <section className={css.preview} aria-label={name}>
    <p>
      <a href={address} target="_blank" rel="noreferrer">
        {name} in a window of its own <IconExternalLink size={16} aria-hidden="true" />
      </a>
    </p>
    <object data={`${address}#navpanes=0&view=FitH`} type="application/pdf" aria-label={name}>
      <p>This browser shows no PDF inside a page; the line above opens it.</p>
    </object>
  </section>
);

/** The last stage: what must be seen to, who answers for it, and the paper itself. */
export const IssueStage = ({ job, run, go }: { job: Job; run: RunSummary | null; go: (stage: Stage) => void }) => {
  const { data, error, isPending } = useQuery({ ...questions.result(run?.run ?? ""), enabled: run !== null });
  const { data: certificates } = useQuery(questions.certificates);
  const [terms, setTerms] = useState<Terms>({ languages: ["en"], interval: null, withoutRemarks: false });
  if (run === null || (run.state !== "ended" && run.certificate === null)) {
    return (
      <div className={css.issue}>
        <section className={css.block}>
          <h2>There is nothing to issue yet.</h2>
          <p>
            {run === null
              ? "The certificate is made from the run's log; the run comes first."
              : "The run is still going on; the certificate is made when it has ended."}
          </p>
          <p style={{ marginTop: "var(--step-4)" }}>
            <button
              type="button"
              className={`${parts.button} ${parts.main}`}
              onClick={() => go(run === null ? "plan" : "measure")}
            >
              {run === null ? "Go to the plan" : "Go to measuring"}
            </button>
          </p>
        </section>
      </div>
    );
  }
  const { certificate: number } = run;
  return (
    <div className={css.issue}>
      <div>
        {number !== null && (
          <Issued number={number} certificate={certificates?.find((entry) => entry.number === number)} run={run.run} />
        )}
        {isPending && <p role="status">Checking …</p>}
        {error !== null && (
          <p role="alert" className={parts.trouble}>
            <TroubleShape /> <span>{wordsOf(error)}</span>
          </p>
        )}
        {data !== undefined && number === null && (
          <>
            <Checks check={data.check} />
            <Sign job={job} run={run.run} check={data.check} terms={terms} change={setTerms} />
          </>
        )}
      </div>
      <Preview
        key={number ?? `preview ${terms.languages.join(" ")}`}
        address={number === null ? paths.runPreview(run.run, terms.languages) : paths.certificatePdf(number)}
        name={number === null ? "Preview" : `Certificate ${number}`}
      />
    </div>
  );
};

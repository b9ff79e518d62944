import { TextInput, Textarea } from "@mantine/core";
import { useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import { paths, type CertificateDetail } from "#contract";
import { Side } from "../face/dialog.tsx";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { client, questions, wordsOf } from "../station.ts";
import { AmendForm } from "./amend-form.tsx";
import { fateWords } from "./fate-words.ts";
import css from "./certificates-page.module.css";

const Withdraw = ({ number }: { number: string }) => {
  const [by, setBy] = useState("");
  const [reason, setReason] = useState("");
  const queries = useQueryClient();
  const withdraw = useMutation({
    mutationFn: () => client.withdrawCertificate(number, { by: by.trim(), reason: reason.trim() }),
    onSuccess: () => queries.invalidateQueries(),
  });
  return (
    <form
      className={css.form}
      aria-label="Withdraw"
      onSubmit={(event) => {
        event.preventDefault();
        withdraw.mutate();
      }}
    >
      <p className={parts.note}>
        The certificate then holds no longer and says so on every page; it stays in the records. Tell the customer.
      </p>
      <Textarea
        label="Reason"
        value={reason}
        maxLength={500}
        autosize
        onChange={(event) => setReason(event.currentTarget.value)}
      />
      <TextInput
        label="Withdrawn by"
        value={by}
        maxLength={120}
        onChange={(event) => setBy(event.currentTarget.value)}
      />
      {withdraw.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape /> <span>{wordsOf(withdraw.error)}</span>
        </p>
      )}
      <button
        type="submit"
        className={`${parts.button} ${parts.danger}`}
        disabled={by.trim() === "" || reason.trim() === "" || withdraw.isPending}
      >
        Withdraw {number}
      </button>
    </form>
  );
};

type Act = "amend" | "withdraw" | null;

const Detail = ({ certificate, close }: { certificate: CertificateDetail; close: () => void }) => {
  const [act, setAct] = useState<Act>(null);
  const { number, run, items, amends, replacedBy, withdrawn } = certificate;
  const holds = replacedBy === null && withdrawn === null;
  const fate = fateWords(certificate);
  return (
    <div className={css.side}>
      {fate !== null && (
        <p className={parts.trouble}>
          <TroubleShape /> <span>{fate}</span>
        </p>
      )}
      {amends !== null && (
        <p>
          Amendment to {amends.number}. Reason: {amends.reason}
        </p>
      )}
      <ul className={css.links}>
        <li>
          <a href={paths.certificatePdf(number)} target="_blank" rel="noreferrer">
            Certificate, PDF
          </a>
        </li>
        {!holds && (
          <li>
            <a href={paths.certificateIssuedPdf(number)} target="_blank" rel="noreferrer">
              The PDF as it was issued
            </a>
          </li>
        )}
        <li>
          <a href={paths.certificateXml(number)} download>
            Data, XML
          </a>
        </li>
        <li>
          <a href={paths.runLog(run)} download>
            Run log, JSON Lines
          </a>
        </li>
        {holds &&
          items.map(({ item, tag }) => (
            <li key={item}>
              <a href={paths.certificateLabel(number, item)} target="_blank" rel="noreferrer">
                Label for {tag}, PDF
              </a>
            </li>
          ))}
      </ul>
      {holds && act === null && (
        <p className={css.acts}>
          <button type="button" className={parts.button} onClick={() => setAct("amend")}>
            Amend …
          </button>
          <button type="button" className={`${parts.button} ${parts.danger}`} onClick={() => setAct("withdraw")}>
            Withdraw …
          </button>
        </p>
      )}
      {act === "amend" && <AmendForm certificate={certificate} amended={close} />}
      {act === "withdraw" && holds && <Withdraw number={number} />}
    </div>
  );
};

/** One certificate beside the list: its files and labels, and what may become of it. */
export const CertificateSide = ({ number, close }: { number: string; close: () => void }) => {
  const { data, error } = useQuery(questions.certificate(number));
  return (
    <Side opened close={close} title={`Certificate ${number}`}>
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape /> <span>{wordsOf(error)}</span>
        </p>
      )}
      {data !== undefined && <Detail certificate={data} close={close} />}
    </Side>
  );
};

import { Textarea, TextInput } from "@mantine/core";
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import type { CertificateDetail, CertificateLanguage } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { Interval, isWhole, type AgreedInterval } from "../issue/interval.tsx";
import { Languages } from "../issue/languages.tsx";
import { client, wordsOf } from "../station.ts";
import { correctionsOf, hasLines, keyOf, labelOf } from "./amended-texts.ts";
import css from "./certificates-page.module.css";

/** What is to stand otherwise on a certificate, and why; a new certificate then takes its place. */
export const AmendForm = ({ certificate, amended }: { certificate: CertificateDetail; amended: () => void }) => {
  const { number, texts } = certificate;
  const [typed, setTyped] = useState<Readonly<Record<string, string>>>({});
  const [reason, setReason] = useState("");
  const [authorisedBy, setAuthorisedBy] = useState(certificate.authorisedBy);
  const [languages, setLanguages] = useState<readonly CertificateLanguage[]>(certificate.languages);
  const [interval, setInterval] = useState<AgreedInterval | null>(null);
  const queries = useQueryClient();
  const amend = useMutation({
    mutationFn: () =>
      client.amendCertificate(number, {
        authorisedBy: authorisedBy.trim(),
        reason: reason.trim(),
        corrections: correctionsOf(texts, typed),
        languages: [...languages],
        ...(interval === null ? {} : { interval }),
      }),
    onSuccess: async () => {
      await queries.invalidateQueries();
      amended();
    },
  });
  const changed = correctionsOf(texts, typed).length;
  return (
    <form
      className={css.form}
      aria-label="Amend"
      onSubmit={(event) => {
        event.preventDefault();
        amend.mutate();
      }}
    >
      <p className={parts.note}>
        A new certificate takes the place of {number}, names it, and marks what is changed. Figures are not changed
        here: they come from the run’s log.
      </p>
      <Textarea
        label="Reason"
        description="It stands on the new certificate."
        value={reason}
        maxLength={500}
        autosize
        onChange={(event) => setReason(event.currentTarget.value)}
      />
      {texts.map((text) => {
        const key = keyOf(text);
        const shared = { label: labelOf(text), value: typed[key] ?? text.value, maxLength: 2000 };
        const take = (value: string): void => setTyped((before) => ({ ...before, [key]: value }));
        return hasLines(text) ? (
          <Textarea key={key} {...shared} autosize onChange={(event) => take(event.currentTarget.value)} />
        ) : (
          <TextInput key={key} {...shared} onChange={(event) => take(event.currentTarget.value)} />
        );
      })}
      <Languages value={languages} change={setLanguages} />
      <Interval value={interval} change={setInterval} />
      <TextInput
        label="Authorised by"
        value={authorisedBy}
        maxLength={120}
        onChange={(event) => setAuthorisedBy(event.currentTarget.value)}
      />
      {amend.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape /> <span>{wordsOf(amend.error)}</span>
        </p>
      )}
      <button
        type="submit"
        className={`${parts.button} ${parts.main}`}
        disabled={reason.trim() === "" || authorisedBy.trim() === "" || !isWhole(interval) || amend.isPending}
      >
        {amend.isPending ? "Issuing …" : `Issue in place of ${number}`}
      </button>
      <p className={parts.note} role="status">
        {changed === 0
          ? "No text is changed."
          : changed === 1
            ? "One text is changed."
            : `${changed} texts are changed.`}
      </p>
    </form>
  );
};

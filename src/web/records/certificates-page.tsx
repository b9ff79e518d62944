import { TextInput } from "@mantine/core";
import { useQuery } from "@tanstack/react-query";
import { getRouteApi, Link } from "@tanstack/react-router";
import { useEffect, useState } from "react";
import { paths, type CertificateSummary } from "#contract";
import { Page } from "../face/page.tsx";
import parts from "../face/parts.module.css";
import { Verdict } from "../face/shapes.tsx";
import { atTime } from "../figures/clock.ts";
import { languageNames } from "../issue/language-names.ts";
import { questions, wordsOf } from "../station.ts";
import { CertificateSide } from "./certificate-side.tsx";
import { fateWords } from "./fate-words.ts";
import { LaboratoryPictures } from "./laboratory-pictures.tsx";
import css from "./certificates-page.module.css";

const fits = (certificate: CertificateSummary, wanted: string): boolean => {
  const all = [
    certificate.number,
    certificate.title,
    certificate.customer,
    certificate.authorisedBy,
    certificate.job,
    ...certificate.tags,
  ]
    .join(" ")
    .toLowerCase();
  return wanted
    .toLowerCase()
    .split(/\s+/)
    .every((word) => all.includes(word));
};

const Row = ({ certificate, open }: { certificate: CertificateSummary; open: () => void }) => {
  const fate = fateWords(certificate);
  const issued = atTime(certificate.issued);
  return (
    <tr>
      <td>
        <strong className={css.number}>{certificate.number}</strong>
        {certificate.rehearsal && <div className={parts.note}>rehearsal</div>}
        {fate !== null && <div className={css.fate}>{fate}</div>}
        {certificate.amends !== null && <div className={parts.note}>amendment to {certificate.amends.number}</div>}
      </td>
      <td>
        <Link to="/jobs/$job" params={{ job: certificate.job }} search={{ stage: "judge", run: certificate.run }}>
          {certificate.title}
        </Link>
        <div className={parts.note}>
          {certificate.tags.join(", ")} · {certificate.customer}
        </div>
      </td>
      <td>
        <Verdict decision={certificate.decision} />
        <div className={parts.note}>{certificate.languages.map((language) => languageNames[language]).join(", ")}</div>
      </td>
      <td>
        <time dateTime={issued.iso} title={issued.utc}>
          {issued.text}
        </time>
        <div className={parts.note}>{certificate.authorisedBy}</div>
      </td>
      <td className={css.files}>
        <a
          className={parts.button}
          href={paths.certificatePdf(certificate.number)}
          download
          aria-label={`PDF of ${certificate.number}`}
        >
          PDF
        </a>
        <a
          className={parts.button}
          href={paths.certificateXml(certificate.number)}
          download
          aria-label={`XML of ${certificate.number}`}
        >
          XML
        </a>
        <button
          type="button"
          className={parts.button}
          onClick={open}
          aria-label={`More about ${certificate.number}: labels, amend, withdraw`}
        >
          More
        </button>
      </td>
    </tr>
  );
};

const route = getRouteApi("/certificates");

export const CertificatesPage = () => {
  const { data, error, isPending } = useQuery(questions.certificates);
  const { find = "" } = route.useSearch();
  const [wanted, setWanted] = useState(find);
  const [opened, setOpened] = useState<string | null>(null);
  useEffect(() => {
    document.title = "Certificates · Dwellpoint";
  }, []);
  const shown = data?.filter((certificate) => fits(certificate, wanted.trim())) ?? [];
  return (
    <Page>
      <div className={css.head}>
        <h1>Certificates</h1>
        {data !== undefined && data.length > 0 && (
          <TextInput
            type="search"
            label="Search"
            placeholder="number, tag, customer, name"
            value={wanted}
            onChange={(event) => setWanted(event.currentTarget.value)}
            className={css.search}
          />
        )}
      </div>
      {isPending && <p role="status">Asking the station …</p>}
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          {wordsOf(error)}
        </p>
      )}
      {data?.length === 0 && (
        <p className={parts.section}>
          No certificate has been issued yet. A job that is measured and judged is issued on its own page; the
          certificate then stands here for good.
        </p>
      )}
      {data !== undefined && data.length > 0 && (
        <div className={css.list}>
          <p className={parts.note} role="status">
            {wanted.trim() === "" ? `${data.length} in all, the newest first` : `${shown.length} of ${data.length} fit`}
          </p>
          <table className={parts.table}>
            <thead>
              <tr>
                <th scope="col">number</th>
                <th scope="col">what, for whom</th>
                <th scope="col">statement</th>
                <th scope="col">issued, by</th>
                <th scope="col">files</th>
              </tr>
            </thead>
            <tbody>
              {shown.map((certificate) => (
                <Row key={certificate.number} certificate={certificate} open={() => setOpened(certificate.number)} />
              ))}
            </tbody>
          </table>
          <p className={parts.note}>
            A reference or a readout was found to be off? <Link to="/found-out">See which results move</Link>, and whom
            to tell.
          </p>
        </div>
      )}
      <LaboratoryPictures />
      {opened !== null && <CertificateSide number={opened} close={() => setOpened(null)} />}
    </Page>
  );
};

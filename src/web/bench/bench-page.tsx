import { useQuery } from "@tanstack/react-query";
import { useEffect } from "react";
import { Page } from "../face/page.tsx";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { questions, wordsOf } from "../station.ts";
import css from "./bench-page.module.css";
import { KeptInstruments } from "./kept-instruments.tsx";
import { SetUp } from "./set-up.tsx";

/** The instruments that this station knows, whether they are there, and how another is added. */
export const BenchPage = () => {
  const { data: bench, error, isPending } = useQuery(questions.bench);
  useEffect(() => {
    document.title = "Bench · Dwellpoint";
  }, []);
  return (
    <Page>
      <div className={css.head}>
        <h1>Bench</h1>
        <p className={parts.note}>What can be connected to this station, and whether it is there.</p>
      </div>
      {isPending && <p role="status">Asking the station …</p>}
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(error)}</span>
        </p>
      )}
      {bench !== undefined && <KeptInstruments bench={bench} />}
      {bench !== undefined && <SetUp bench={bench} />}
    </Page>
  );
};

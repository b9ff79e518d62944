import { useQuery } from "@tanstack/react-query";
import { useEffect, useState } from "react";
import type { BroughtAnswer } from "#contract";
import { Page } from "../face/page.tsx";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { questions, wordsOf } from "../station.ts";
import { BringProbe } from "./bring-probe.tsx";
import { EntryDetail } from "./entry-detail.tsx";
import { EntryList } from "./entry-list.tsx";
import css from "./kit-page.module.css";
import { PluggedIn } from "./plugged-in.tsx";

/** References, readouts and sources as they are recorded, and how a probe's papers become a revision. */
export const KitPage = () => {
  const { data: kit, error, isPending } = useQuery(questions.kit);
  const [chosen, setChosen] = useState<string | null>(null);
  const [told, setTold] = useState<string | null>(null);
  const [plugged, setPlugged] = useState<BroughtAnswer | null>(null);
  useEffect(() => {
    document.title = "Kit · Dwellpoint";
  }, []);
  return (
    <Page>
      <div className={css.head}>
        <h1>Kit</h1>
        <p className={parts.note}>What is calibrated with, as it is recorded: revised, never edited.</p>
      </div>
      {isPending && <p role="status">Asking the station …</p>}
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(error)}</span>
        </p>
      )}
      {kit?.entries.length === 0 && (
        <p className={parts.section}>
          Nothing is recorded yet. The kit of a job is recorded with the job; a probe can be brought below before there
          is one.
        </p>
      )}
      {kit !== undefined && (
        <EntryList kit={kit} chosen={chosen} choose={(id) => setChosen(id === chosen ? null : id)} />
      )}
      {told !== null && (
        <p role="status" className={css.told}>
          {told} is recorded.
        </p>
      )}
      {chosen !== null && <EntryDetail key={chosen} id={chosen} />}
      {kit !== undefined && <PluggedIn readouts={kit.readouts} bring={setPlugged} chosen={setChosen} />}
      <BringProbe
        key={plugged?.brought ?? "brought"}
        plugged={plugged}
        approved={(id) => {
          setPlugged(null);
          setTold(id);
          setChosen(id);
        }}
      />
    </Page>
  );
};

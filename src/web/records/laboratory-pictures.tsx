import { useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { client, questions, wordsOf } from "../station.ts";
import css from "./certificates-page.module.css";

const names = {
  logo: "Logo of the laboratory",
  symbol: "Accreditation symbol",
} as const;

type Which = keyof typeof names;

const Picture = ({ which, kept }: { which: Which; kept: { type: string; size: number } | null }) => {
  const queries = useQueryClient();
  const keep = useMutation({
    mutationFn: async (file: File) => client.keepPicture(which, new Uint8Array(await file.arrayBuffer())),
    onSuccess: () => queries.invalidateQueries(),
  });
  const takeAway = useMutation({
    mutationFn: () => client.takePictureAway(which),
    onSuccess: () => queries.invalidateQueries(),
  });
  return (
    <div className={css.picture}>
      <strong>{names[which]}</strong>
      <span className={parts.note}>
        {kept === null
          ? "none"
          : `${kept.type.toUpperCase()}, ${Math.max(1, Math.round(kept.size / 1024))} kB, on every certificate from now on`}
      </span>
      <span className={css.acts}>
        <span className={`${parts.button} ${css.choose}`}>
          Choose a file
          <input
            type="file"
            accept="image/png,image/svg+xml"
            aria-label={`Choose a file: ${names[which]}`}
            onChange={(event) => {
              const file = event.currentTarget.files?.[0];
              if (file !== undefined) keep.mutate(file);
              event.currentTarget.value = "";
            }}
          />
        </span>
        {kept !== null && (
          <button
            type="button"
            className={parts.button}
            aria-label={`Take away: ${names[which]}`}
            onClick={() => takeAway.mutate()}
          >
            Take away
          </button>
        )}
      </span>
      {(keep.error ?? takeAway.error) !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape /> <span>{wordsOf(keep.error ?? takeAway.error)}</span>
        </p>
      )}
    </div>
  );
};

/** What certificates carry of the laboratory's own. */
export const LaboratoryPictures = () => {
  const { data } = useQuery(questions.laboratoryPictures);
  return (
    <section className={parts.section} aria-labelledby="laboratory-pictures">
      <h2 id="laboratory-pictures">On every certificate</h2>
      <p className={parts.note}>
        PNG or SVG, 512 kB at most. The symbol of an accreditation is set only where every result lies within the
        capability that the job states.
      </p>
      {data !== undefined && (
        <>
          <Picture which="logo" kept={data.logo} />
          <Picture which="symbol" kept={data.symbol} />
        </>
      )}
    </section>
  );
};

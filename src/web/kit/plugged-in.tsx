import { useMutation } from "@tanstack/react-query";
import type { BroughtAnswer, KitAnswer, PluggedAnswer } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape, VerdictShape } from "../face/shapes.tsx";
import { client, wordsOf } from "../station.ts";
import css from "./kit-page.module.css";

type Input = PluggedAnswer["inputs"][number];

const Said = ({
  input,
  bring,
  chosen,
}: {
  input: Input;
  bring: (brought: BroughtAnswer) => void;
  chosen: (id: string) => void;
}) => {
  if (input.why !== null)
    return (
      <span className={css.check}>
        <TroubleShape /> <span>{input.why}</span>
      </span>
    );
  if (input.said === null) return <span className={parts.note}>nothing that says who it is</span>;
  const { brought } = input;
  return (
    <span className={css.said}>
      {input.known === null ? (
        <span className={css.check}>
          <CautionShape /> {input.said}: no kit entry is known by that
        </span>
      ) : (
        <span className={css.check}>
          <VerdictShape decision="pass" /> {input.known}, by its {input.said}
        </span>
      )}
      {input.known !== null && (
        <button type="button" className={parts.button} onClick={() => chosen(input.known!)}>
          Show {input.known}
        </button>
      )}
      {brought !== null && (
        <button type="button" className={parts.button} onClick={() => bring(brought)}>
          Look at its data sheet<span className="unseen"> of input {input.input}</span>
        </button>
      )}
    </span>
  );
};

/** Readouts that know their probes: what is plugged in, which entry it is; a known one is shown at once. */
export const PluggedIn = ({
  readouts,
  bring,
  chosen,
}: {
  readouts: KitAnswer["readouts"];
  bring: (brought: BroughtAnswer) => void;
  chosen: (id: string) => void;
}) => {
  const ask = useMutation({
    mutationFn: (name: string) => client.pluggedProbes(name),
    onSuccess: ({ inputs }) => {
      const known = inputs.flatMap((input) => (input.known === null ? [] : [input.known]));
      if (known.length === 1) chosen(known[0]!);
    },
  });
  if (readouts.length === 0) return null;
  return (
    <section className={parts.section} aria-labelledby="plugged-in">
      <h2 id="plugged-in">Plugged in</h2>
      <div className={`${css.ways} ${css.asks}`}>
        {readouts.map(({ name, at }) => (
          <button
            key={name}
            type="button"
            className={parts.button}
            disabled={ask.isPending}
            title={at}
            onClick={() => ask.mutate(name)}
          >
            Ask {name}
          </button>
        ))}
      </div>
      {ask.isPending && <p role="status">Asking …</p>}
      {ask.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(ask.error)}</span>
        </p>
      )}
      {ask.data !== undefined && (
        <dl className={css.inputs}>
          {ask.data.inputs.map((input) => (
            <div key={input.input}>
              <dt>input {input.input}</dt>
              <dd>
                <Said input={input} bring={bring} chosen={chosen} />
              </dd>
            </div>
          ))}
        </dl>
      )}
    </section>
  );
};

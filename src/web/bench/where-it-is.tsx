import { TextInput } from "@mantine/core";
import { useMutation } from "@tanstack/react-query";
import type { BenchAnswer, Found } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape, VerdictShape } from "../face/shapes.tsx";
import { client, wordsOf } from "../station.ts";
import css from "./bench-page.module.css";
import { isOnSerialLine, suggestedAddresses, type Entry } from "./suggested-addresses.ts";

const FoundPorts = ({ found, choose }: { found: Found; choose: (at: string) => void }) => {
  const answering = found.ports.filter(({ said }) => said !== null).length;
  return (
    <div role="status" className={css.found}>
      <p>
        {found.ports.length === 0
          ? "This machine has no serial port. Plug the adapter in and look again; on Linux the user must be allowed to use it (group dialout)."
          : answering === 0
            ? "It answers on none of the ports. What each said:"
            : "What each port said:"}
      </p>
      <ul className={css.places}>
        {found.ports.map(({ at, about, said, fault }) => (
          <li key={at} className={css.port}>
            <span className={`${parts.word} ${said === null ? parts.fail : parts.pass}`}>
              <VerdictShape decision={said === null ? "fail" : "pass"} />
              {said === null ? "no" : "answers"}
            </span>
            <span>
              <code>{at}</code> {about !== null && <span className={parts.note}>{about}</span>}
              <span className={css.under}>{said === null ? fault?.message : `“${said}”`}</span>
            </span>
            {said !== null && (
              <button type="button" className={parts.button} onClick={() => choose(at)}>
                Take this one<span className="unseen">: {at}</span>
              </button>
            )}
          </li>
        ))}
      </ul>
    </div>
  );
};

/** The second step: a port, an address that is known, or one that is typed. */
export const WhereItIs = ({
  entry,
  bench,
  at,
  setAt,
}: {
  entry: Entry;
  bench: BenchAnswer;
  at: string;
  setAt: (at: string) => void;
}) => {
  const find = useMutation({ mutationFn: () => client.findInstrument({ entry: entry.entry }) });
  const suggested = suggestedAddresses(entry, bench);
  const forms = entry.transports.map((transport) => bench.forms[transport]);
  return (
    <section className={css.step} aria-labelledby="where">
      <h3 id="where">2. Where is it?</h3>
      {suggested.length > 0 && (
        <ul className={css.places}>
          {suggested.map((each) => (
            <li key={each.at}>
              <button
                type="button"
                className={css.choice}
                aria-pressed={at === each.at}
                disabled={each.usedBy !== null}
                onClick={() => setAt(each.at)}
              >
                <code>{each.at}</code>
                <span className={parts.note}>{each.usedBy === null ? each.from : `in use by run ${each.usedBy}`}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
      <TextInput
        label="Address"
        description={`For example ${forms.join(", ")}`}
        value={at}
        spellCheck={false}
        autoComplete="off"
        onChange={(event) => setAt(event.currentTarget.value)}
      />
      {isOnSerialLine(entry) && (
        <div className={css.look}>
          <button type="button" className={parts.button} disabled={find.isPending} onClick={() => find.mutate()}>
            {find.isPending ? "Asking on every port …" : "Which port is it on?"}
          </button>
          <p className={parts.note}>
            {entry.dialogue === "talk-only"
              ? "Listens on every serial port; nothing is sent."
              : "Sends the question for its name on every serial port, also to what else is plugged in there. Nothing else is sent."}
          </p>
        </div>
      )}
      {find.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(find.error)}</span>
        </p>
      )}
      {find.data !== undefined && !find.isPending && <FoundPorts found={find.data} choose={setAt} />}
    </section>
  );
};

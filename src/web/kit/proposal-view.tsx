import { NativeSelect, TextInput } from "@mantine/core";
import { keepPreviousData, useMutation, useQuery } from "@tanstack/react-query";
import { useState } from "react";
import type { BroughtAnswer, KitAnswers, ProposalAnswer, ProposalQuestion } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape, VerdictShape } from "../face/shapes.tsx";
import { client, queryClient, questions, wordsOf } from "../station.ts";
import { Facts } from "./facts.tsx";
import css from "./kit-page.module.css";
import { answersFrom, fieldWords, inputKind, isField } from "./missing-fields.ts";
import { WhatChanges } from "./what-changes.tsx";

const newEntry = "(new)";
const byWords = { "data-sheet": "by its data sheet", serial: "by its serial number", name: "by its label" } as const;

type Typed = Partial<Record<keyof KitAnswers, string>>;

const Understood = ({ item }: { item: BroughtAnswer["items"][number] }) => (
  <>
    <h3>What was understood</h3>
    <p className={parts.note}>{item.source}</p>
    <Facts facts={item.facts} />
    {item.coefficients.length > 0 && (
      <Facts facts={item.coefficients.map(({ name, value }) => ({ label: name, text: value }))} code />
    )}
    {item.tables.map(({ title, columns, rows }, place) => (
      <details key={`${title} ${place}`}>
        <summary>
          {title} ({rows.length} rows)
        </summary>
        <div className={css.wide} role="region" aria-label={title} tabIndex={0}>
          <table className={parts.table}>
            <thead>
              <tr>
                {columns.map(({ label, unit }, column) => (
                  <th key={`${label} ${column}`} scope="col">
                    {label}
                    {unit !== "" && <div>{unit}</div>}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.map((row, line) => (
                <tr key={`${line} ${row.join(" ")}`}>
                  {row.map((cell, column) => (
                    <td key={`${columns[column]?.label} ${column}`}>{cell}</td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
    ))}
  </>
);

const Checks = ({ proposal }: { proposal: ProposalAnswer }) => (
  <ul className={css.checks} aria-label="Checks">
    {proposal.checks.map(({ what, state, words }) => (
      <li key={what}>
        {state === "holds" && <VerdictShape decision="pass" />}
        {state === "caution" && <CautionShape />}
        {state === "fails" && <TroubleShape />}
        <span>
          <strong>{state === "holds" ? "holds" : state === "caution" ? "look at this" : "does not hold"}: </strong>
          {words}
        </span>
      </li>
    ))}
    {proposal.notes.map((note) => (
      <li key={note}>
        <CautionShape />
        <span>{note}</span>
      </li>
    ))}
  </ul>
);

const Approve = ({
  question,
  proposal,
  approved,
}: {
  question: ProposalQuestion;
  proposal: ProposalAnswer;
  approved: (id: string) => void;
}) => {
  const [author, setAuthor] = useState("");
  const [reason, setReason] = useState("");
  const approve = useMutation({
    mutationFn: () => client.approveKit({ ...question, author: author.trim(), reason: reason.trim() }),
    onSuccess: async (detail) => {
      queryClient.setQueryData(questions.kitEntry(detail.entry.id).queryKey, detail);
      await Promise.all([
        queryClient.invalidateQueries({ queryKey: ["kit"] }),
        queryClient.invalidateQueries({ queryKey: ["jobs"] }),
      ]);
      approved(detail.entry.id);
    },
  });
  if (proposal.unchanged) return <p role="status">It says what the kit says already: there is nothing to approve.</p>;
  const ready = proposal.approvable && author.trim() !== "" && reason.trim() !== "";
  return (
    <>
      <div className={css.fields}>
        <TextInput label="Your name" value={author} onChange={(event) => setAuthor(event.currentTarget.value)} />
        <TextInput
          label="Reason, for the record"
          placeholder="calibrated anew"
          value={reason}
          onChange={(event) => setReason(event.currentTarget.value)}
        />
      </div>
      {approve.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(approve.error)}</span>
        </p>
      )}
      <p>
        <button
          type="button"
          className={`${parts.button} ${parts.main}`}
          disabled={!ready || approve.isPending}
          onClick={() => approve.mutate()}
        >
          {proposal.known === null ? "Approve as a new entry" : `Approve as revision ${proposal.known.revision + 1}`}
        </button>
      </p>
    </>
  );
};

/** What a probe brought, shown for approval: understood, missing, checked, changed. */
export const ProposalView = ({ brought, approved }: { brought: BroughtAnswer; approved: (id: string) => void }) => {
  const [item, setItem] = useState(0);
  const [is, setIs] = useState<string | null | undefined>(undefined);
  const [typed, setTyped] = useState<Typed>({});
  const [asked, setAsked] = useState<readonly (keyof KitAnswers)[]>([]);
  const question: ProposalQuestion = {
    brought: brought.brought,
    item,
    answers: answersFrom(typed),
    ...(is === undefined ? {} : { is }),
  };
  const { data: proposal, error } = useQuery({
    queryKey: ["kit", "proposal", question],
    queryFn: () => client.proposeKit(question),
    placeholderData: keepPreviousData,
    refetchOnWindowFocus: false,
  });
  const missing = proposal?.missing.map(({ field }) => field).filter(isField) ?? [];
  // A field stays once it was asked for, also while what is typed in it suffices.
  if (missing.some((field) => !asked.includes(field))) setAsked([...new Set([...asked, ...missing])]);
  const understood = brought.items[item]!;
  return (
    <div className={css.proposal}>
      {brought.items.length > 1 && (
        <NativeSelect
          label="Item of the certificate"
          value={String(item)}
          data={brought.items.map((each) => ({
            value: String(each.item),
            label: `${each.item + 1}: ${each.facts[0]?.text ?? each.source}`,
          }))}
          onChange={(event) => setItem(Number(event.currentTarget.value))}
        />
      )}
      <Understood item={understood} />
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(error)}</span>
        </p>
      )}
      {proposal !== undefined && (
        <>
          <h3>Which entry it is</h3>
          <NativeSelect
            label="Kit entry"
            description={
              proposal.knownBy === null
                ? "not known by data sheet or serial number"
                : `known ${byWords[proposal.knownBy]}`
            }
            value={proposal.known?.id ?? newEntry}
            data={[
              { value: newEntry, label: "a new entry" },
              ...proposal.candidates.map(({ id, serial }) => ({ value: id, label: `${id}, serial ${serial}` })),
            ]}
            onChange={(event) => setIs(event.currentTarget.value === newEntry ? null : event.currentTarget.value)}
          />
          {asked.length > 0 && (
            <>
              <h3>What was not brought</h3>
              <div className={css.fields}>
                {asked.map((field) => (
                  <TextInput
                    key={field}
                    label={fieldWords[field]}
                    type={inputKind(field)}
                    value={typed[field] ?? ""}
                    error={proposal.missing.some((one) => one.field === field) ? "wanted" : undefined}
                    onChange={(event) => setTyped({ ...typed, [field]: event.currentTarget.value })}
                  />
                ))}
              </div>
            </>
          )}
          {proposal.missing
            .filter(({ field }) => !isField(field))
            .map(({ field, words }) => (
              <p key={field} className={parts.trouble} role="alert">
                <TroubleShape />
                <span>Missing: {words}.</span>
              </p>
            ))}
          <h3>Checks</h3>
          <Checks proposal={proposal} />
          {proposal.differences.length > 0 && (
            <>
              <h3>What changes</h3>
              <WhatChanges differences={proposal.differences} effects={proposal.effects} />
            </>
          )}
          <h3>Approval</h3>
          <Approve question={question} proposal={proposal} approved={approved} />
        </>
      )}
    </div>
  );
};

import { TextInput } from "@mantine/core";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import type { KitUpkeep } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { client, queryClient, questions, wordsOf } from "../station.ts";
import css from "./upkeep-page.module.css";

/** Takes what a kept test found over into the kit: by a person, with a reason. */
export const ApproveFinding = ({ entry, finding }: { entry: KitUpkeep["entry"]; finding: number }) => {
  const [by, setBy] = useState("");
  const [reason, setReason] = useState("");
  const approve = useMutation({
    mutationFn: () => client.approveUpkeep(entry.id, finding, { by: by.trim(), reason: reason.trim() }),
    onSuccess: async (answer) => {
      queryClient.setQueryData(questions.kitUpkeep(entry.id).queryKey, answer);
      await queryClient.invalidateQueries({ queryKey: ["kit"] });
    },
  });
  return (
    <>
      <div className={css.fields}>
        <TextInput label="Your name" value={by} onChange={(event) => setBy(event.currentTarget.value)} />
        <TextInput
          label="Reason, for the record"
          placeholder="yearly characterisation"
          value={reason}
          onChange={(event) => setReason(event.currentTarget.value)}
        />
        <button
          type="button"
          className={`${parts.button} ${parts.main}`}
          disabled={by.trim() === "" || reason.trim() === "" || approve.isPending}
          onClick={() => approve.mutate()}
        >
          Approve as revision {entry.revision + 1}
        </button>
      </div>
      {approve.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(approve.error)}</span>
        </p>
      )}
    </>
  );
};

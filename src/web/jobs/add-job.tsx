import { IconFileUpload } from "@tabler/icons-react";
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { useNavigate } from "@tanstack/react-router";
import { useId, useRef, useState } from "react";
import { fieldProblemSchema, StationRefusal, type FieldProblem } from "#contract";
import { Dialog } from "../face/dialog.tsx";
import parts from "../face/parts.module.css";
import { client, wordsOf } from "../station.ts";
import css from "./add-job.module.css";

/** The field problems that came with a refusal, where it has any. */
const problemsOf = (error: unknown): FieldProblem[] => {
  const fields = error instanceof StationRefusal ? error.problem.data?.["fields"] : undefined;
  if (!Array.isArray(fields)) return [];
  return fields.flatMap((field) => {
    const read = fieldProblemSchema.safeParse(field);
    return read.success ? [read.data] : [];
  });
};

const selectLine = (area: HTMLTextAreaElement, line: number): void => {
  const lines = area.value.split("\n");
  const from = lines.slice(0, line - 1).reduce((sum, text) => sum + text.length + 1, 0);
  area.focus();
  area.setSelectionRange(from, from + (lines[line - 1]?.length ?? 0));
  area.scrollTop = Math.max(0, (line - 4) * Number.parseFloat(getComputedStyle(area).lineHeight));
};

export const AddJob = ({ opened, close }: { opened: boolean; close: () => void }) => {
  const [text, setText] = useState("");
  const [unread, setUnread] = useState<string | null>(null);
  const area = useRef<HTMLTextAreaElement>(null);
  const field = useId();
  const queries = useQueryClient();
  const navigate = useNavigate();
  const add = useMutation({
    mutationFn: () => client.addJob(text),
    onSuccess: async (job) => {
      await queries.invalidateQueries({ queryKey: ["jobs"] });
      setText("");
      close();
      await navigate({ to: "/jobs/$job", params: { job: job.job } });
    },
  });
  const choose = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    try {
      setText(await file.text());
      setUnread(null);
      add.reset();
    } catch (error) {
      setUnread(`The file ${file.name} cannot be read: ${wordsOf(error)}`);
    }
  };
  const problems = problemsOf(add.error);
  return (
    <Dialog opened={opened} close={close} title="Add a job" size="xl">
      <form
        className={css.form}
        onSubmit={(event) => {
          event.preventDefault();
          add.mutate();
        }}
      >
        <p className={parts.note}>
          A job file says what is calibrated, with which kit, at which temperatures and by which rule. YAML or JSON.
        </p>
        <span className={`${parts.button} ${css.choose}`}>
          <IconFileUpload size={20} aria-hidden="true" />
          Choose a file
          <input
            type="file"
            accept=".yaml,.yml,.json"
            aria-label="Choose a job file"
            onChange={(event) => void choose(event.currentTarget.files?.[0])}
          />
        </span>
        {unread !== null && <p role="alert">{unread}</p>}
        <div>
          <label htmlFor={field}>… or paste its text</label>
          <textarea
            ref={area}
            id={field}
            className={css.text}
            spellCheck={false}
            value={text}
            onChange={(event) => setText(event.currentTarget.value)}
            data-autofocus
          />
        </div>
        {add.error !== null && (
          <div role="alert">
            <p className={parts.trouble}>
              <strong>Not added.</strong> {wordsOf(add.error)}
            </p>
            <ul className={css.problems}>
              {problems.map((problem) => (
                <li key={`${problem.line} ${problem.path} ${problem.message}`}>
                  <button
                    type="button"
                    className={css.problem}
                    onClick={() =>
                      problem.line !== null && area.current !== null && selectLine(area.current, problem.line)
                    }
                  >
                    <span className={css.where}>{problem.line === null ? "whole file" : `line ${problem.line}`}</span>
                    <span>
                      <code>{problem.path}</code> {problem.message}
                    </span>
                  </button>
                </li>
              ))}
            </ul>
          </div>
        )}
        <div className={css.acts}>
          <button type="button" className={parts.button} onClick={close}>
            Not now
          </button>
          <button
            type="submit"
            className={`${parts.button} ${parts.main}`}
            disabled={text.trim() === "" || add.isPending}
          >
            {add.isPending ? "Checking …" : "Add the job"}
          </button>
        </div>
      </form>
    </Dialog>
  );
};

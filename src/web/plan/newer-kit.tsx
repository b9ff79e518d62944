import { useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import parts from "../face/parts.module.css";
import { CautionShape } from "../face/shapes.tsx";
import { client, questions, wordsOf } from "../station.ts";
import css from "./plan-stage.module.css";

/** Says where the records have a newer revision of the job's kit, and takes it into the job when somebody says so. */
export const NewerKit = ({ job, busy }: { job: string; busy: boolean }) => {
  const { data } = useQuery(questions.newerKit(job));
  const queries = useQueryClient();
  const take = useMutation({
    mutationFn: (ids: readonly string[]) => client.takeKit(job, ids),
    onSuccess: () => queries.invalidateQueries({ queryKey: ["jobs"] }),
  });
  if (data === undefined || data.newer.length === 0) return null;
  return (
    <section className={css.newer} aria-label="Newer kit">
      {data.newer.map(({ id, words, revision }) => (
        <div key={id}>
          <p>
            <CautionShape /> {words}
          </p>
          {busy ? (
            <p className={parts.note}>The run that goes on keeps what it was opened with.</p>
          ) : (
            <button type="button" className={parts.button} disabled={take.isPending} onClick={() => take.mutate([id])}>
              Take revision {revision} of {id}
            </button>
          )}
        </div>
      ))}
      {take.error !== null && (
        <p role="alert" className={parts.trouble}>
          {wordsOf(take.error)}
        </p>
      )}
    </section>
  );
};

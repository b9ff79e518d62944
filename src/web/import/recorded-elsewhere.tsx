import { lazy, Suspense, useState } from "react";
import type { Job, RunSummary } from "#contract";
import parts from "../face/parts.module.css";

const ReadingsImport = lazy(async () => ({ default: (await import("./readings-import.tsx")).ReadingsImport }));

/** The way in for readings that another recorder took; what it needs is loaded when it is wanted. */
export const RecordedElsewhere = ({ job, taken }: { job: Job; taken: (run: RunSummary) => void }) => {
  const [opened, setOpened] = useState(false);
  return (
    <section className={parts.section} aria-labelledby="recorded-elsewhere">
      <h2 id="recorded-elsewhere">Readings recorded elsewhere</h2>
      {opened ? (
        <Suspense fallback={<p role="status">Opening …</p>}>
          <ReadingsImport job={job} taken={taken} />
        </Suspense>
      ) : (
        <button type="button" className={parts.button} onClick={() => setOpened(true)}>
          Take readings from a file
        </button>
      )}
    </section>
  );
};

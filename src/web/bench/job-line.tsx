import { IconCopy } from "@tabler/icons-react";
import { useState } from "react";
import type { KeptInstrument } from "#contract";
import parts from "../face/parts.module.css";
import css from "./bench-page.module.css";

/** The line by which a job names the instrument, to be copied. */
export const JobLine = ({ known: { line, role } }: { known: KeptInstrument }) => {
  const [word, setWord] = useState("");
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(line);
      setWord("Copied.");
    } catch {
      setWord("This browser does not let it be copied: mark the line and copy it by hand.");
    }
  };
  return (
    <div className={css.line}>
      <p>
        A job that misses an instrument of this kind offers it under “plan”. To write it into a job file, put this under{" "}
        <code>bench.instruments</code>
        {role === "item" && "; its id must there be the identifier of the item"}:
      </p>
      <pre tabIndex={0} aria-label="Line for a job file">
        {line}
      </pre>
      <button type="button" className={parts.button} onClick={() => void copy()}>
        <IconCopy size={20} aria-hidden="true" />
        Copy the line
      </button>
      <span role="status">{word}</span>
    </div>
  );
};

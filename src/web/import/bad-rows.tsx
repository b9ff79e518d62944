import type { ReadingsCheck } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import css from "./readings-import.module.css";

/** Why nothing can be taken in, and every row that is to blame. */
export const BadRows = ({ check: { obstacle, problems, problemCount } }: { check: ReadingsCheck }) => (
  <div role="alert">
    <p className={parts.trouble}>
      <TroubleShape />
      <span>{obstacle}</span>
    </p>
    {problems.length > 0 && (
      <ul className={css.problems}>
        {problems.map(({ line, column, message }) => (
          <li key={`${line} ${column} ${message}`}>
            <span className={css.where}>{line === null ? "whole file" : `line ${line}`}</span>
            <span>
              {column}: {message}
            </span>
          </li>
        ))}
        {problemCount > problems.length && <li>and {problemCount - problems.length} more</li>}
      </ul>
    )}
  </div>
);

import { lazy, Suspense, type ReactNode } from "react";
import { Side } from "../face/dialog.tsx";
import type { Derived } from "./derived.ts";
import { Events } from "./events.tsx";
import css from "./origin.module.css";

const Derivation = lazy(async () => ({ default: (await import("./derivation.tsx")).Derivation }));

/** One step back from a number towards what was read. */
export interface OriginStep {
  readonly title: string;
  readonly words: ReactNode;
}

export interface Origin {
  readonly title: string;
  readonly value: string;
  readonly steps: readonly OriginStep[];
  readonly derived?: Derived;
  /** Log lines at the bottom of it. */
  readonly lines: readonly number[];
}

/** Where a number comes from, step by step, down to the lines of the log. */
export const OriginDrawer = ({
  origin,
  run,
  close,
}: {
  origin: Origin | null;
  run: string | null;
  close: () => void;
}) => (
  <Side opened={origin !== null} close={close} title={origin?.title ?? ""}>
    {origin !== null && (
      <>
        <p className={css.value}>{origin.value}</p>
        <ol className={css.chain}>
          {origin.steps.map((step) => (
            <li key={step.title} className={css.link}>
              <h3>{step.title}</h3>
              <p>{step.words}</p>
            </li>
          ))}
          {run !== null && origin.derived !== undefined && (
            <Suspense fallback={null}>
              <Derivation run={run} derived={origin.derived} />
            </Suspense>
          )}
          {run !== null && origin.lines.length > 0 && (
            <li className={css.link}>
              <h3>Lines of the log</h3>
              <Events run={run} numbers={origin.lines} />
            </li>
          )}
        </ol>
      </>
    )}
  </Side>
);

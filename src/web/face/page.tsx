import type { ReactNode } from "react";
import { Bar } from "./bar.tsx";
import parts from "./parts.module.css";
import shell from "./shell.module.css";

/** An ordinary page: the bar with the places, then what the page says. */
export const Page = ({ children }: { children: ReactNode }) => (
  <>
    <Bar />
    <main id="main" tabIndex={-1} className={shell.main}>
      <div className={parts.page}>{children}</div>
    </main>
  </>
);

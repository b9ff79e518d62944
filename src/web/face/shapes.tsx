import type { Decision } from "#contract";
import parts from "./parts.module.css";

const mark = { width: "1.1em", height: "1.1em", viewBox: "0 0 20 20", "aria-hidden": true } as const;

/** A verdict is a shape and a word: a filled disc, a filled square stood on its corner, an open ring cut in two. */
export const VerdictShape = ({ decision }: { decision: Decision | null }) => {
  if (decision === "pass") {
    return (
      <svg {...mark}>
        <circle cx="10" cy="10" r="9" fill="var(--ready-mark)" />
        <path d="M5.5 10.3l3 3 6-6.4" fill="none" stroke="var(--raised)" strokeWidth="2.4" />
      </svg>
    );
  }
  if (decision === "fail") {
    return (
      <svg {...mark}>
        <path d="M10 0l10 10-10 10L0 10z" fill="var(--trouble-mark)" />
        <path d="M6.8 6.8l6.4 6.4m0-6.4l-6.4 6.4" stroke="var(--raised)" strokeWidth="2.4" />
      </svg>
    );
  }
  return (
    <svg {...mark}>
      <circle
        cx="10"
        cy="10"
        r="8"
        fill="none"
        stroke="currentColor"
        strokeWidth="2"
        strokeDasharray={decision === null ? "3 3" : undefined}
      />
      {decision === "undecided" && <path d="M10 2v16" stroke="currentColor" strokeWidth="2" />}
    </svg>
  );
};

const words: Record<Decision, string> = { pass: "pass", fail: "fail", undecided: "no verdict" };

export const Verdict = ({ decision, absent = "not judged" }: { decision: Decision | null; absent?: string }) => (
  <span className={`${parts.word} ${decision === null ? "" : parts[decision]}`}>
    <VerdictShape decision={decision} />
    {decision === null ? absent : words[decision]}
  </span>
);

export const TroubleShape = () => (
  <svg {...mark} width="1.4em" height="1.4em">
    <path d="M10 1.5L19 18H1z" fill="var(--trouble-mark)" />
    <path d="M10 7v5.4m0 1.6v2" stroke="var(--raised)" strokeWidth="2.2" />
  </svg>
);

export const CautionShape = () => (
  <svg {...mark} width="1.4em" height="1.4em">
    <path d="M10 1.5L19 18H1z" fill="none" stroke="currentColor" strokeWidth="1.8" strokeLinejoin="round" />
    <path d="M10 7v5.4m0 1.6v2" stroke="currentColor" strokeWidth="1.8" />
  </svg>
);

/** Who a number belongs to: the reference a solid disc, an item a diamond, the source an open square. */
export const RoleShape = ({ role }: { role: "reference" | "item" | "source" | "error" }) => (
  <svg {...mark} width="0.9em" height="0.9em">
    {role === "reference" && <circle cx="10" cy="10" r="8" fill="var(--reference-mark)" />}
    {role === "item" && <path d="M10 0l10 10-10 10L0 10z" fill="var(--item-mark)" />}
    {role === "source" && (
      <rect x="2" y="2" width="16" height="16" fill="none" stroke="var(--source-mark)" strokeWidth="4" />
    )}
    {role === "error" && <path d="M2 5h16M2 15h16M10 5v10" stroke="currentColor" strokeWidth="3" fill="none" />}
  </svg>
);

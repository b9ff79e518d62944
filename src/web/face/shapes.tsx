import type { Decision } from "#contract";
import parts from "./parts.module.css";

const mark = { width: "1.1em", height: "1.1em", viewBox: "0 0 20 20", "aria-hidden": true } as const;

/**
 * A verdict is a shape and a word. Pass is a disc with a tick, fail a square stood on its corner with a cross; filled where
 * the verdict is plain, outlined where it is conditional. No verdict is an open ring cut in two.
 */
export const VerdictShape = ({ decision }: { decision: Decision | null }) => {
  if (decision === "pass" || decision === "conditional-pass") {
    const plain = decision === "pass";
    return (
      <svg {...mark}>
        <circle
          cx="10"
          cy="10"
          r={plain ? 9 : 8}
          fill={plain ? "var(--ready-mark)" : "none"}
          stroke={plain ? "none" : "var(--ready-mark)"}
          strokeWidth="2.2"
        />
        <path
          d="M5.5 10.3l3 3 6-6.4"
          fill="none"
          stroke={plain ? "var(--raised)" : "var(--ready-mark)"}
          strokeWidth="2.4"
        />
      </svg>
    );
  }
  if (decision === "fail" || decision === "conditional-fail") {
    const plain = decision === "fail";
    return (
      <svg {...mark}>
        <path
          d={plain ? "M10 0l10 10-10 10L0 10z" : "M10 1.6l8.4 8.4-8.4 8.4L1.6 10z"}
          fill={plain ? "var(--trouble-mark)" : "none"}
          stroke={plain ? "none" : "var(--trouble-mark)"}
          strokeWidth="2.2"
        />
        <path
          d="M6.8 6.8l6.4 6.4m0-6.4l-6.4 6.4"
          stroke={plain ? "var(--raised)" : "var(--trouble-mark)"}
          strokeWidth="2.2"
        />
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

const verdicts: Record<Decision, { readonly word: string; readonly style: string | undefined }> = {
  pass: { word: "pass", style: parts.pass },
  "conditional-pass": { word: "conditional pass", style: parts.pass },
  undecided: { word: "no verdict", style: parts.undecided },
  "conditional-fail": { word: "conditional fail", style: parts.fail },
  fail: { word: "fail", style: parts.fail },
};

export const verdictWord = (decision: Decision): string => verdicts[decision].word;

export const Verdict = ({ decision, absent = "not judged" }: { decision: Decision | null; absent?: string }) => (
  <span className={`${parts.word} ${decision === null ? "" : verdicts[decision].style}`}>
    <VerdictShape decision={decision} />
    {decision === null ? absent : verdicts[decision].word}
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

/** A contact: a line from terminal to terminal when closed, its arm lifted when open; dashed while nobody has read it. */
export const ContactShape = ({ closed }: { closed: boolean | null }) => (
  <svg width="1.7em" height="0.85em" viewBox="0 0 40 20" aria-hidden="true">
    <path d="M0 14h9M31 14h9" stroke="currentColor" strokeWidth="3.2" />
    <path
      d={closed === true ? "M9 14H31" : "M9 14L29 3"}
      stroke="currentColor"
      strokeWidth="3.2"
      strokeDasharray={closed === null ? "4 4" : undefined}
    />
    <circle cx="9" cy="14" r="3.6" fill="var(--enamel)" stroke="currentColor" strokeWidth="2.4" />
    <circle
      cx="31"
      cy="14"
      r="3.6"
      fill={closed === true ? "currentColor" : "var(--enamel)"}
      stroke="currentColor"
      strokeWidth="2.4"
    />
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

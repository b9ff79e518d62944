import { useId } from "react";
import type { Stop } from "#contract";
import css from "./route-line.module.css";

const radius = 12;

/** A stop's state as a shape: hollow, filling from below, ringed, solid, barred, triangle. */
export const StopShape = ({ stop, x, y, present }: { stop: Stop; x: number; y: number; present: boolean }) => {
  const clip = useId();
  const { status, share } = stop;
  if (status === "trouble") {
    return (
      <g transform={`translate(${x} ${y})`}>
        {present && <Pointer />}
        <path d="M0 -15L16 12H-16z" fill="var(--trouble-mark)" stroke="var(--enamel)" strokeWidth="2" />
        <path d="M0 -6v8m0 3v3" stroke="var(--raised)" strokeWidth="3" />
      </g>
    );
  }
  const filled = status === "measured" ? 1 : status === "settling" ? share : status === "measuring" ? 1 : 0;
  const fill = status === "measured" ? "var(--ink)" : "var(--ready-mark)";
  return (
    <g transform={`translate(${x} ${y})`}>
      {present && <Pointer />}
      {status === "measuring" && (
        <circle className={css.breathing} r={radius + 5} fill="none" stroke="var(--ready-mark)" strokeWidth="3" />
      )}
      <circle r={radius} fill="var(--enamel)" />
      <clipPath id={clip}>
        <rect x={-radius} y={radius - 2 * radius * filled} width={2 * radius} height={2 * radius} />
      </clipPath>
      {filled > 0 && <circle r={radius} fill={fill} clipPath={`url(#${clip})`} />}
      <circle
        r={radius}
        fill="none"
        stroke={
          status === "ahead" || status === "not-measured" || status === "skipped" ? "var(--line-strong)" : "var(--ink)"
        }
        strokeWidth="3"
      />
      {status === "skipped" && <path d="M-16 9L16 -9" stroke="var(--ink)" strokeWidth="4" />}
    </g>
  );
};

const Pointer = () => <path d="M-7 -25h14l-7 9z" fill="var(--ink)" />;

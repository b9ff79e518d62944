import type { Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";

/** A history must be of an item of this job; otherwise it would be left out of the result without a word. */
export const historyComplaints = ({ history = [], items }: Job): Complaint[] =>
  history.flatMap(({ item }, index) =>
    items.some(({ id }) => id === item)
      ? []
      : [
          {
            path: ["history", index, "item"],
            message: `this job has no item "${item}"; it has ${items.map(({ id }) => id).join(", ")}. Name one of them, or leave this history out.`,
          },
        ],
  );

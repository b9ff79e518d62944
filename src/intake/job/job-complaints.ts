import type { Job } from "#calibration";
import type { Complaint } from "../document/field-error.ts";
import { benchComplaints } from "./bench-complaints.ts";
import { byHandComplaints } from "./by-hand-complaints.ts";
import { historyComplaints } from "./history-complaints.ts";
import { itemComplaints } from "./item-complaints.ts";
import { kitComplaints } from "./kit-complaints.ts";
import { procedureComplaints } from "./procedure-complaints.ts";

/** Everything that does not fit together in a job whose fields are each right by themselves. */
export const jobComplaints = (job: Job): Complaint[] => {
  const all = [
    ...itemComplaints(job),
    ...kitComplaints(job),
    ...procedureComplaints(job),
    ...historyComplaints(job),
    ...benchComplaints(job),
    ...byHandComplaints(job),
  ];
  // Two items on channels of one unit find the same row of the readout's table missing; that is said once.
  const seen = new Set<string>();
  return all.filter(({ path, message }) => {
    const key = `${path.map(String).join(".")}\n${message.replace(/the channel "[^"]*"/, "")}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
};

/** Where instruments of a job are for one run, in place of what the job says, by their id. */
export type Places = Readonly<Record<string, string>>;

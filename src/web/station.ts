import { queryOptions, QueryClient } from "@tanstack/react-query";
import { createClient, StationRefusal, type DayQuestion } from "#contract";

/** The one client of the pages. */
export const client = createClient((path, init) => fetch(path, init));

export const queryClient = new QueryClient({
  defaultOptions: {
    queries: {
      staleTime: 2_000,
      // A refusal is an answer; only silence is worth asking again.
      retry: (count, error) => !(error instanceof StationRefusal) && count < 1,
      retryDelay: 500,
    },
  },
});

export const questions = {
  station: queryOptions({ queryKey: ["station"], queryFn: () => client.station(), staleTime: 60_000 }),
  jobs: queryOptions({ queryKey: ["jobs"], queryFn: () => client.jobs(), refetchInterval: 5_000 }),
  job: (job: string) => queryOptions({ queryKey: ["jobs", job], queryFn: () => client.job(job) }),
  result: (run: string) =>
    queryOptions({
      queryKey: ["runs", run, "result"],
      queryFn: () => client.result(run),
      // While the validation is under way its points are awaited.
      refetchInterval: ({ state }) => (state.data?.validation.state === "running" ? 1_000 : false),
    }),
  diagnosis: (run: string) =>
    queryOptions({ queryKey: ["runs", run, "diagnosis"], queryFn: () => client.diagnosis(run) }),
  history: (job: string) => queryOptions({ queryKey: ["jobs", job, "history"], queryFn: () => client.history(job) }),
  explain: (run: string, item: string, pass: string, point: number) =>
    queryOptions({
      queryKey: ["runs", run, "explain", item, pass, point],
      queryFn: () => client.explain(run, item, pass, point),
    }),
  events: (run: string, numbers: readonly number[]) =>
    queryOptions({
      queryKey: ["runs", run, "events", numbers.join(",")],
      queryFn: () => client.events(run, numbers),
      staleTime: Number.POSITIVE_INFINITY,
      enabled: numbers.length > 0,
    }),
  approach: (run: string, pass: string, point: number) =>
    queryOptions({
      queryKey: ["runs", run, "approach", pass, point],
      queryFn: () => client.approach(run, pass, point),
    }),
  kits: (job: string) =>
    queryOptions({ queryKey: ["jobs", "kits", job], queryFn: () => client.kits(job), staleTime: 60_000 }),
  day: (question: DayQuestion) =>
    queryOptions({ queryKey: ["jobs", "day", question], queryFn: () => client.day(question), staleTime: 60_000 }),
  // Instruments are asked when the page is opened and when somebody says so, not each time the window is looked at.
  instruments: (job: string) =>
    queryOptions({
      queryKey: ["instruments", job],
      queryFn: () => client.jobBench(job),
      staleTime: Number.POSITIVE_INFINITY,
      gcTime: 0,
      refetchOnWindowFocus: false,
      refetchOnReconnect: false,
    }),
  bench: queryOptions({ queryKey: ["bench"], queryFn: () => client.bench(), refetchInterval: 5_000 }),
  kit: queryOptions({ queryKey: ["kit"], queryFn: () => client.kit() }),
  kitEntry: (entry: string) =>
    queryOptions({ queryKey: ["kit", "entry", entry], queryFn: () => client.kitEntry(entry) }),
  kitUpkeep: (entry: string) =>
    queryOptions({ queryKey: ["kit", "upkeep", entry], queryFn: () => client.kitUpkeep(entry) }),
  newerKit: (job: string) =>
    queryOptions({ queryKey: ["jobs", "newer-kit", job], queryFn: () => client.newerKit(job), staleTime: 10_000 }),
  items: queryOptions({ queryKey: ["items"], queryFn: () => client.items() }),
  itemHistory: (item: string, serial: string) =>
    queryOptions({ queryKey: ["items", item, serial], queryFn: () => client.itemHistory(item, serial) }),
  suspects: queryOptions({ queryKey: ["suspects"], queryFn: () => client.suspects() }),
  trace: (trace: string) =>
    queryOptions({
      queryKey: ["traces", trace],
      queryFn: () => client.trace(trace),
      refetchInterval: ({ state }) => (state.data?.state === "running" ? 500 : false),
    }),
  certificate: (number: string) =>
    queryOptions({ queryKey: ["certificates", number], queryFn: () => client.certificate(number) }),
  laboratoryPictures: queryOptions({ queryKey: ["laboratory"], queryFn: () => client.laboratoryPictures() }),
  certificates: queryOptions({ queryKey: ["certificates"], queryFn: () => client.certificates() }),
};

/** What to tell a person about anything that was thrown. */
export const wordsOf = (error: unknown): string => {
  if (error instanceof StationRefusal) return error.message;
  if (error instanceof TypeError || error instanceof SyntaxError)
    return "The station does not answer. Is it still running, and is this machine still connected to it?";
  if (error instanceof Error && error.name === "ZodError") {
    return "The station gave an answer that these pages do not understand. Load the page again; if that does not help, pages and station are of different versions.";
  }
  return error instanceof Error ? error.message : String(error);
};

import type { Command } from "../command.ts";

/**
 * The commands, each loaded only when it is asked for: `convert` in a pipe must not wait for the certificate renderer.
 * The summaries stand here so that the list needs none of them.
 */
export const commands: Readonly<Record<string, { readonly summary: string; load(): Promise<Command> }>> = {
  convert: {
    summary: "signals to temperatures and back, a JSON line each",
    load: async () => (await import("./convert.ts")).convert,
  },
  tolerance: {
    summary: "limits of a tolerance class at a temperature, a JSON line each",
    load: async () => (await import("./tolerance.ts")).tolerance,
  },
  fit: {
    summary: "calibration points to coefficients with their uncertainty",
    load: async () => (await import("./fit.ts")).fit,
  },
  "check-coefficients": {
    summary: "coefficients from a report against its own check values; finds a wrong digit",
    load: async () => (await import("./check-coefficients.ts")).checkCoefficientsCommand,
  },
  budget: {
    summary: "an uncertainty budget combined and expanded",
    load: async () => (await import("./budget.ts")).budget,
  },
  decide: {
    summary: "a value against its limits under a decision rule, with its risks",
    load: async () => (await import("./decide.ts")).decide,
  },
  plan: {
    summary: "what a job will prove, how long it takes, and in which order; kits compared",
    load: async () => (await import("./plan.ts")).plan,
  },
  upkeep: {
    summary: "the kit's own proof: source characterised, pull test, two currents, ice point",
    load: async () => (await import("./upkeep.ts")).upkeep,
  },
  kit: {
    summary: "a probe's data sheet, certificate or label read and checked; labels printed; the kit listed",
    load: async () => (await import("./kit.ts")).kit,
  },
  settle: {
    summary: "when recorded approaches were ready to be measured, a JSON line each",
    load: async () => (await import("./settle.ts")).settle,
  },
  run: {
    summary: "conduct a job: log, result and certificate",
    load: async () => (await import("./run.ts")).run,
  },
  evaluate: {
    summary: "a run log to its result",
    load: async () => (await import("./evaluate.ts")).evaluateCommand,
  },
  traceback: {
    summary: "a reference found out: which results and statements move with it, and who must be told",
    load: async () => (await import("./traceback.ts")).traceback,
  },
  diagnose: {
    summary: "what the pattern of a run's errors may mean",
    load: async () => (await import("./diagnose.ts")).diagnose,
  },
  certify: {
    summary: "a run log to its certificate, PDF and XML",
    load: async () => (await import("./certify.ts")).certify,
  },
  verify: {
    summary: "a log, certificate, ledger, backup or data folder: what holds, and what does not",
    load: async () => (await import("./verify.ts")).verify,
  },
  backup: {
    summary: "the records of a station to one file, while it goes on",
    load: async () => (await import("./backup.ts")).backup,
  },
  restore: {
    summary: "a backup to the records of an empty folder, checked first",
    load: async () => (await import("./restore.ts")).restore,
  },
  export: {
    summary: "all records as open files: JSON Lines, CSV, PDF, XML",
    load: async () => (await import("./export.ts")).exportCommand,
  },
  import: {
    summary: "an export to the records of an empty folder, its chain intact",
    load: async () => (await import("./import.ts")).importCommand,
  },
  instrument: {
    summary: "a catalogue entry checked, and tried at an address with a transcript",
    load: async () => (await import("./instrument.ts")).instrument,
  },
  rehearse: {
    summary: "many whole runs on the simulated bench: coverage, time and risk",
    load: async () => (await import("./rehearse.ts")).rehearse,
  },
  simulate: {
    summary: "simulated instruments on loopback sockets until stopped",
    load: async () => (await import("./simulate.ts")).simulate,
  },
  serve: {
    summary: "the station: pages and API on loopback",
    load: async () => (await import("./serve.ts")).serve,
  },
};

/**
 * The map of rooms: which folder of `src/` may import which, how it is compiled, and which packages it may use.
 * The layer rules (`.dependency-cruiser.mjs`) are made from this table, and `ARCHITECTURE.md` prints it; a test
 * compares the two, so the map cannot drift from what is enforced.
 */
export interface Room {
  readonly name: string;
  readonly purpose: string;
  readonly never: string;
  readonly mayImport: readonly string[];
  readonly packages: readonly string[];
  readonly compiled: "pure" | "node" | "dom" | "mixed";
  /** Sub-folders that compile pure in a room that is otherwise Node. */
  readonly pureFolders?: readonly string[];
}

const values = ["fault", "quantity", "numerics"];
const physics = [...values, "thermometry", "uncertainty", "settling"];

export const rooms: readonly Room[] = [
  {
    name: "fault",
    purpose: "the one error class and the table of codes",
    never: "wording for one screen, recovery policy",
    mayImport: [],
    packages: [],
    compiled: "pure",
  },
  {
    name: "quantity",
    purpose: "branded units, rounding, value-with-uncertainty text",
    never: "physics, locale, parsing of wire formats",
    mayImport: ["fault"],
    packages: [],
    compiled: "pure",
  },
  {
    name: "numerics",
    purpose: "roots, least squares, linear algebra, distributions, seeded random numbers",
    never: "a unit or a sensor",
    mayImport: [],
    packages: [],
    compiled: "pure",
  },
  {
    name: "thermometry",
    purpose: "ITS-90, platinum, thermocouple, 4-20 mA: value and slope, both ways",
    never: "I/O, time, instrument names, budgets",
    mayImport: values,
    packages: [],
    compiled: "pure",
  },
  {
    name: "uncertainty",
    purpose: "GUM budgets, correlation, degrees of freedom, Monte Carlo, decision rules as numbers",
    never: "sensor equations, pass/fail wording",
    mayImport: values,
    packages: [],
    compiled: "pure",
  },
  {
    name: "settling",
    purpose: "is the measurement ready, what remains, how long yet; reading by reading",
    never: "a clock, a device, a tolerance class",
    mayImport: values,
    packages: [],
    compiled: "pure",
  },
  {
    name: "calibration",
    purpose: "job, kit and run-event schemas, tolerances, evaluate()",
    never: "clock, disk, device, HTML",
    mayImport: physics,
    packages: ["zod"],
    compiled: "pure",
  },
  {
    name: "planning",
    purpose: "what a job will prove, in which order and time; the day over several jobs; kits compared",
    never: "a clock, a device, a formula of its own for U: that is calibration's forecast",
    mayImport: [...physics, "calibration"],
    packages: [],
    compiled: "pure",
  },
  {
    name: "diagnosis",
    purpose: "which fault explains these signals and errors, and what test would tell",
    never: "a pass/fail decision",
    mayImport: [...physics, "calibration"],
    packages: [],
    compiled: "pure",
  },
  {
    name: "instruments",
    purpose: "wire/ (codecs) drivers/ (meaning of a catalogue entry) transports/ (TCP, serial, USB-TMC, Modbus)",
    never: "procedure steps, tolerances, storage",
    mayImport: ["fault", "quantity"],
    packages: ["zod", "serialport", "modbus-serial"],
    compiled: "mixed",
    pureFolders: ["wire", "drivers"],
  },
  {
    name: "bench",
    purpose: "plant/ (physics of source and probes) server/ (answers bytes)",
    never: "being imported by product code",
    mayImport: [...values, "thermometry", "instruments"],
    packages: ["zod", "serialport", "modbus-serial"],
    compiled: "mixed",
    pureFolders: ["plant"],
  },
  {
    name: "engine",
    purpose: "step(), the runner over ports, limits and safe stop",
    never: "SQL, HTTP, sockets, raw timers",
    mayImport: ["fault", "quantity", "settling", "calibration", "diagnosis"],
    packages: [],
    compiled: "pure",
  },
  {
    name: "intake",
    purpose: "text from people (YAML, JSON, CSV) to checked values, each error with its line",
    never: "deciding what a value means",
    mayImport: ["fault", "quantity", "calibration"],
    packages: ["zod", "yaml", "csv-parse", "read-excel-file"],
    compiled: "node",
  },
  {
    name: "records",
    purpose: "append-only log, items, kit revisions, certificates in SQLite",
    never: "calculation, rounding, evaluation",
    mayImport: ["fault", "quantity", "calibration"],
    packages: ["zod", "kysely", "better-sqlite3"],
    compiled: "node",
  },
  {
    name: "certificates",
    purpose: "document/ (result to document model) render/ (Typst, XML)",
    never: "a number it worked out itself",
    mayImport: ["fault", "quantity", "calibration"],
    packages: ["zod", "@myriaddreamin/typst-ts-node-compiler", "xmlbuilder2"],
    compiled: "mixed",
    pureFolders: ["document"],
  },
  {
    name: "parallel",
    purpose: "work spread over worker threads, its results in order: seeded trials, many evaluations",
    never: "work of its own: it only shares out what other rooms do",
    mayImport: [...physics, "calibration"],
    packages: ["piscina"],
    compiled: "node",
  },
  {
    name: "rehearsal",
    purpose: "whole runs on the simulated bench, by the thousand: coverage, time against the oracle, risk",
    never: "a decision or a formula of the product's: it only counts what they come to",
    mayImport: [...physics, "calibration", "engine", "instruments", "bench", "intake", "parallel"],
    packages: ["zod"],
    compiled: "node",
  },
  {
    name: "contract",
    purpose: "message schemas of the HTTP and stream API, client",
    never: "handlers, database rows",
    mayImport: ["fault", "quantity", "calibration"],
    packages: ["zod"],
    compiled: "pure",
  },
  {
    name: "station",
    purpose: "composition root: HTTP, stream, ports plugged in",
    never: "formulas, SQL text, layout",
    mayImport: [
      ...physics,
      "calibration",
      "planning",
      "diagnosis",
      "engine",
      "instruments",
      "intake",
      "records",
      "certificates",
      "parallel",
      "contract",
    ],
    packages: ["zod", "fastify", "fastify-type-provider-zod", "@fastify/static", "@fastify/swagger"],
    compiled: "node",
  },
  {
    name: "cli",
    purpose: "second composition root: convert, run, evaluate, certify, simulate, serve",
    never: "logic not callable elsewhere",
    mayImport: [
      ...physics,
      "calibration",
      "planning",
      "diagnosis",
      "engine",
      "instruments",
      "bench",
      "intake",
      "records",
      "certificates",
      "parallel",
      "rehearsal",
      "contract",
      "station",
    ],
    packages: ["zod"],
    compiled: "node",
  },
  {
    name: "web",
    purpose: "React pages and charts",
    never: "a decision, a conversion, a second copy of a message type",
    mayImport: ["contract", "quantity", "fault"],
    packages: [
      "react",
      "react-dom",
      "@mantine/core",
      "@mantine/hooks",
      "uplot",
      "@tanstack/react-query",
      "@tanstack/react-router",
      "@tabler/icons-react",
    ],
    compiled: "dom",
  },
];

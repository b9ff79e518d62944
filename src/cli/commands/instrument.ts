import { readFile, writeFile } from "node:fs/promises";
import { Fault, unwrap } from "#fault";
import {
  addressForms,
  findSenseless,
  instrumentEntrySchema,
  listSerialPorts,
  parseAddress,
  readFrame,
  tryInstrument,
  wantedInputs,
  wordsSent,
  writeFrame,
  type Frame,
  type InstrumentEntry,
  type RecordedFrame,
  type Trial,
} from "#instruments";
import { loadDocument } from "#intake";
import { readCatalog } from "../catalog.ts";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { readNumber, readWords } from "../words.ts";

const help = `
dwellpoint instrument list                        the entries of the catalogue
dwellpoint instrument ports                       the serial ports of this machine
dwellpoint instrument check ENTRY                 is the entry right, and does it make sense?
dwellpoint instrument try ENTRY --at ADDRESS      what is said, what comes back, and what is understood

ENTRY is a file (YAML or JSON) or the name of an entry of the catalogue. ADDRESS is one of
  ${Object.values(addressForms).join("\n  ")}

  --unit U         only what is read in this unit: Ω, mV, mA or °C
  --input N        this input; the first of each unit where it is left out
  --count N        how often each is read, 1 to 1000; 1 where it is left out
  --set-point T    command this temperature too, °C; the output is left as it is. Take care: a source that is on begins to heat
  --record FILE    write the dialogue down, a JSON line each time something is said
  --replay FILE    play a recording in the instrument's place (no --at is needed)
  --text           for people, not for programs

check prints {"entry","role","dialogue","transports","says",…}. try prints a JSON line for everything that goes over the wire
({"at","direction","text"}) and one for each thing understood ({"identity"}, {"unit","input","value","wire"} or {"error"}).
Exit 1 when something was not understood.
`;

const readEntry = async (name: string, home: string): Promise<InstrumentEntry> => {
  if (!/[./\\]/.test(name)) {
    const catalog = readCatalog(home);
    const known = catalog.find(({ entry }) => entry === name);
    if (known !== undefined) return known;
    throw new Fault(
      "input.invalid",
      `The catalogue has no entry "${name}". There are: ${catalog.map(({ entry }) => entry).join(", ")}. A file is given with its path.`,
    );
  }
  let text: string;
  try {
    text = await readFile(name, "utf8");
  } catch (cause) {
    throw new Fault("input.invalid", `The file ${name} cannot be read. Give the path of a catalogue entry.`, { cause });
  }
  return unwrap(loadDocument(text, name, instrumentEntrySchema, { code: "instrument.entry-invalid" }));
};

const about = (entry: InstrumentEntry) => ({
  entry: entry.entry,
  revision: entry.revision,
  title: entry.title,
  role: entry.role,
  dialogue: entry.dialogue ?? "questions",
  transports: [entry.transport].flat(),
  reads: Object.fromEntries(
    Object.entries(entry.read).map(([unit, { inputs, answers }]) => [unit, { inputs, answers }]),
  ),
  ...(entry.dialogue === "registers" || entry.dialogue === "talk-only" ? {} : { says: wordsSent(entry) }),
});

const marks: Readonly<Record<Frame["direction"], string>> = {
  opened: "connected",
  sent: "asked    ",
  received: "answered ",
  discarded: "ignored  ",
  closed: "closed   ",
};

/** Prints what is said and what is understood, as JSON lines or as text. */
const printer = (stdout: Surroundings["stdout"], asText: boolean) => ({
  frame({ at, direction, text }: RecordedFrame) {
    stdout.write(
      asText
        ? `${at.toFixed(3).padStart(8)} s  ${marks[direction]}  ${text}\n`
        : `${JSON.stringify({ at, direction, text })}\n`,
    );
  },
  trial({ identity, inputs, setPoint }: Trial): boolean {
    const line = (value: Record<string, unknown>, text: string) =>
      stdout.write(asText ? `understood  ${text}\n` : `${JSON.stringify(value)}\n`);
    const failed = ({ code, message }: { code: string; message: string }, place: Record<string, unknown>) =>
      stdout.write(
        asText ? `not understood  ${message}\n` : `${JSON.stringify({ ...place, error: { code, message } })}\n`,
      );
    let whole = true;
    if (identity.ok) line({ identity: identity.value }, `it is ${identity.value}`);
    else {
      failed(identity.fault, {});
      whole = false;
    }
    for (const { unit, input, outcome } of inputs) {
      if (outcome.ok)
        line(
          { unit, input, ...outcome.value },
          `input ${input}: ${outcome.value.value} ${unit} (from ${outcome.value.wire})`,
        );
      else {
        failed(outcome.fault, { unit, input });
        whole = false;
      }
    }
    if (setPoint !== null && setPoint.ok) line({ setPoint: "taken" }, "the set point has arrived");
    if (setPoint !== null && !setPoint.ok) {
      failed(setPoint.fault, { setPoint: "refused" });
      whole = false;
    }
    return whole;
  },
});

const readRecording = async (path: string): Promise<readonly RecordedFrame[]> => {
  const lines = (await readFile(path, "utf8")).split("\n").filter((line) => line.trim() !== "");
  return lines.map((line, index) => {
    const frame = readFrame(line);
    if (frame === null)
      throw new Fault("input.malformed", `${path}, line ${index + 1}, is no line of a recorded dialogue.`);
    return frame;
  });
};

const options = {
  at: { type: "string" },
  unit: { type: "string" },
  input: { type: "string" },
  count: { type: "string" },
  "set-point": { type: "string" },
  record: { type: "string" },
  replay: { type: "string" },
  text: { type: "boolean" },
} as const;

type Values = ReturnType<typeof readWords<typeof options>>["values"];

const attempt = async (entry: InstrumentEntry, values: Values, stdout: Surroundings["stdout"]): Promise<ExitCode> => {
  const { at, replay, record } = values;
  if (at === undefined && replay === undefined)
    throw new Fault(
      "usage.wrong",
      "instrument try needs --at ADDRESS. dwellpoint instrument --help shows how one is written.",
    );
  if (at !== undefined) unwrap(parseAddress(at));
  const print = printer(stdout, values.text === true);
  const frames: RecordedFrame[] = [];
  const trial = await tryInstrument({
    entry,
    at: at ?? "simulated",
    inputs: wantedInputs(
      entry,
      values.unit,
      values.input === undefined ? undefined : readNumber("input", values.input, { least: 0, most: 9999, whole: true }),
    ),
    count: values.count === undefined ? 1 : readNumber("count", values.count, { least: 1, most: 1000, whole: true }),
    setPoint:
      values["set-point"] === undefined
        ? null
        : readNumber("set-point", values["set-point"], { least: -273, most: 3000 }),
    observe: (frame) => {
      frames.push(frame);
      print.frame(frame);
    },
    recording: replay === undefined ? undefined : await readRecording(replay),
  });
  if (record !== undefined) await writeFile(record, frames.map(writeFrame).join(""));
  return print.trial(trial) ? 0 : 1;
};

const check = (entry: InstrumentEntry, stdout: Surroundings["stdout"]): ExitCode => {
  const senseless = findSenseless(entry);
  if (senseless.length === 0) {
    stdout.write(`${JSON.stringify({ ...about(entry), ok: true })}\n`);
    return 0;
  }
  throw new Fault(
    "instrument.entry-invalid",
    `Entry "${entry.entry}" is well-formed but makes no sense. ${senseless.map(({ field, why }) => `${field}: ${why}`).join("; ")}.`,
    { data: { fields: senseless.map(({ field, why }) => ({ field, message: why })) } },
  );
};

const run = async (words: readonly string[], { stdout, home }: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("instrument", words, options);
  const [what, name] = positionals;
  const say = (value: unknown) => stdout.write(`${JSON.stringify(value)}\n`);
  if (what === "list") {
    for (const entry of readCatalog(home)) say(about(entry));
    return 0;
  }
  if (what === "ports") {
    for (const port of await listSerialPorts()) say({ at: `serial:${port.path}`, about: port.about });
    return 0;
  }
  if ((what !== "check" && what !== "try") || name === undefined)
    throw new Fault(
      "usage.wrong",
      "instrument takes list, ports, check ENTRY or try ENTRY. dwellpoint instrument --help tells more.",
    );
  const entry = await readEntry(name, home);
  return what === "check" ? check(entry, stdout) : attempt(entry, values, stdout);
};

export const instrument: Command = {
  name: "instrument",
  summary: "a catalogue entry checked, and tried at an address with a transcript",
  help,
  run,
};

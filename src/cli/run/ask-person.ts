import { createInterface } from "node:readline/promises";
import type { Readable, Writable } from "node:stream";
import type { RunCommand } from "#engine";
import type { WantedOfPerson } from "./wanted-of-person.ts";

/** The text before the cursor, and what else may be typed there. */
const promptOf = (wanted: WantedOfPerson): string => {
  switch (wanted.kind) {
    case "set-point":
      return `Set the source to ${wanted.temperature} °C and switch it on; Enter when it is done ([p]ause, [s]top)\n> `;
    case "answer":
      return `${wanted.question} [y]es, as read; or type it again\n> `;
    case "check":
      return "Type what the check thermometer shows, in °C ([o]mit the check)\n> ";
    case "reading": {
      const last = wanted.last === null ? "" : `, last ${wanted.last}`;
      const enough = wanted.enough ? ", [e]nough" : "";
      const back = wanted.taken > 0 ? ", [t]ake the last one back" : "";
      return `Read ${wanted.name} (${Math.min(wanted.taken + 1, wanted.wanted)} of ${wanted.wanted}${last}${enough}${back}, [p]ause, [s]top)\n${wanted.name} / ${wanted.unit} > `;
    }
  }
};

const letter = (text: string): string => text.trim().toLowerCase();

const isNumeric = (text: string): boolean => /^[+\u2212-]?[\d.,]+/.test(text.trim());

/** What was typed, as a command; null where it is nothing of what is asked. */
const commandFor = (wanted: WantedOfPerson, text: string, by: string): RunCommand | null => {
  const word = letter(text);
  if (word === "p") return { command: "pause", by };
  if (word === "s") return { command: "stop", by, reason: "stopped at the terminal" };
  switch (wanted.kind) {
    case "set-point":
      return word === ""
        ? { command: "confirm-set-point", by }
        : isNumeric(text)
          ? { command: "confirm-set-point", by, typed: text }
          : null;
    case "check":
      if (word === "o") return { command: "skip-check", by, reason: "left out at the terminal" };
      return isNumeric(text) ? { command: "record-check", by, value: Number(text.trim().replace(",", ".")) } : null;
    case "answer":
      if (word === "y" || word === "yes") return { command: "confirm-reading", by };
      return isNumeric(text) ? { command: "enter-reading", by, channel: wanted.channel, typed: text } : null;
    case "reading":
      if (word === "e" && wanted.enough) return { command: "enough-readings", by };
      if (word === "t")
        return {
          command: "withdraw-reading",
          by,
          channel: wanted.channel,
          reason: "a slip, taken back at the terminal",
        };
      return word === "" ? null : { command: "enter-reading", by, channel: wanted.channel, typed: text };
  }
};

/** Asks the person at the terminal; again while what is typed is no answer. Null when the input ends or nobody waits any more. */
export const askPerson = async (
  { stdin, stdout }: { readonly stdin: Readable; readonly stdout: Writable },
  wanted: WantedOfPerson,
  by: string,
  signal: AbortSignal,
): Promise<RunCommand | null> => {
  const terminal = createInterface({ input: stdin, output: stdout });
  const ended = new Promise<null>((resolve) => {
    terminal.once("close", () => resolve(null));
    if (signal.aborted) resolve(null);
    signal.addEventListener("abort", () => resolve(null), { once: true });
  });
  // The line editor takes Ctrl-C for itself; here, too, it ends the run.
  const interrupted = new Promise<RunCommand>((resolve) => {
    terminal.once("SIGINT", () => resolve({ command: "stop", by, reason: "the program was asked to stop" }));
  });
  try {
    for (;;) {
      const given = await Promise.race([terminal.question(promptOf(wanted)), ended, interrupted]);
      if (given === null || typeof given !== "string") return given;
      const command = commandFor(wanted, given, by);
      if (command !== null && !(command.command === "record-check" && !Number.isFinite(command.value))) return command;
    }
  } finally {
    terminal.close();
  }
};

import { headerForms } from "./header-forms.ts";
import { parseProgramMessage, type ProgramUnit } from "./program-message.ts";

/** Standard error numbers and texts (SCPI-1999 21.8.9 to 21.8.12). */
export const scpiErrors = {
  syntax: [-102, "Syntax error"],
  parameterNotAllowed: [-108, "Parameter not allowed"],
  missingParameter: [-109, "Missing parameter"],
  undefinedHeader: [-113, "Undefined header"],
  protected: [-203, "Command protected"],
  settingsConflict: [-221, "Settings conflict"],
  outOfRange: [-222, "Data out of range"],
  illegalValue: [-224, "Illegal parameter value"],
  overflow: [-350, "Queue overflow"],
} as const satisfies Record<string, readonly [number, string]>;

export type ScpiError = keyof typeof scpiErrors;

/** What a command or query comes to: text to answer, nothing to answer, or an error for the queue. */
export type UnitResult = { readonly answer: string } | { readonly error: ScpiError } | null;
export type Handler = (parameters: readonly string[]) => UnitResult;

export interface ScpiInstrument {
  /** Carries out one program message; the response message, or null when there is none. */
  execute(message: string): string | null;
  /** Are all its words known? */
  knows(message: string): boolean;
}

const queueLength = 16;

/** Bit of the standard event status register that an error sets (IEEE 488.2 11.5.1). */
const eventBit = (code: number): number => {
  if (code <= -400) return 4;
  if (code <= -300) return 8;
  return code <= -200 ? 16 : 32;
};

const wholeNumber = (text: string | undefined): number | null =>
  text !== undefined && /^\+?\d{1,3}$/.test(text) && Number(text) <= 255 ? Number(text) : null;

/**
 * An instrument that speaks IEEE 488.2 and SCPI: the common commands, an error queue, and the commands of its role, keyed
 * by pattern with a "?" at the end of a query ("OUTPut[:STATe]?").
 */
export const scpiInstrument = (options: {
  readonly identification: string;
  readonly commands: Readonly<Record<string, Handler>>;
  readonly reset: () => void;
}): ScpiInstrument => {
  const queue: (readonly [number, string])[] = [];
  let events = 128;
  let eventEnable = 0;
  let serviceEnable = 0;

  const report = (error: ScpiError) => {
    const entry = scpiErrors[error];
    events |= eventBit(entry[0]);
    if (queue.length < queueLength) queue.push(entry);
    else queue[queueLength - 1] = scpiErrors.overflow;
  };

  const statusByte = () => (queue.length > 0 ? 4 : 0) | ((events & eventEnable) !== 0 ? 32 : 0);
  const enable =
    (set: (value: number) => void): Handler =>
    ([text]) => {
      const value = wholeNumber(text);
      if (value === null) return { error: text === undefined ? "missingParameter" : "illegalValue" };
      set(value);
      return null;
    };

  const common: Record<string, Handler> = {
    "*IDN?": () => ({ answer: options.identification }),
    "*CLS": () => {
      queue.length = 0;
      events = 0;
      return null;
    },
    "*RST": () => {
      options.reset();
      return null;
    },
    "*OPC": () => {
      events |= 1;
      return null;
    },
    "*OPC?": () => ({ answer: "1" }),
    "*WAI": () => null,
    "*TST?": () => ({ answer: "0" }),
    "*ESR?": () => {
      const answer = String(events);
      events = 0;
      return { answer };
    },
    "*ESE": enable((value) => {
      eventEnable = value;
    }),
    "*ESE?": () => ({ answer: String(eventEnable) }),
    "*SRE": enable((value) => {
      serviceEnable = value;
    }),
    "*SRE?": () => ({ answer: String(serviceEnable) }),
    "*STB?": () => ({ answer: String(statusByte() | ((statusByte() & serviceEnable) !== 0 ? 64 : 0)) }),
    "SYSTem:ERRor[:NEXT]?": () => {
      const [code, text] = queue.shift() ?? [0, "No error"];
      return { answer: `${code},"${text}"` };
    },
    "SYSTem:VERSion?": () => ({ answer: "1999.0" }),
  };

  const handlers = new Map<string, Handler>();
  for (const [pattern, handler] of Object.entries({ ...common, ...options.commands })) {
    const mark = pattern.endsWith("?") ? "?" : "";
    for (const form of headerForms(mark === "" ? pattern : pattern.slice(0, -1))) handlers.set(form + mark, handler);
  }

  const read = new Map<string, readonly (ProgramUnit | null)[]>();
  const unitsOf = (message: string) => {
    let units = read.get(message);
    if (units === undefined) {
      units = parseProgramMessage(message);
      if (read.size < 256) read.set(message, units);
    }
    return units;
  };

  const handlerOf = (unit: ProgramUnit) => handlers.get(unit.query ? `${unit.header}?` : unit.header);

  return {
    knows: (message) => unitsOf(message).every((unit) => unit !== null && handlerOf(unit) !== undefined),
    execute(message) {
      const answers: string[] = [];
      for (const unit of unitsOf(message)) {
        const handler = unit === null ? undefined : handlerOf(unit);
        if (unit === null || handler === undefined) {
          report(unit === null ? "syntax" : "undefinedHeader");
          break;
        }
        const result = handler(unit.parameters);
        if (result !== null && "error" in result) report(result.error);
        else if (result !== null) answers.push(result.answer);
      }
      return answers.length === 0 ? null : answers.join(";");
    },
  };
};

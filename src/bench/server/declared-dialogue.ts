import { lineTemplate, type QuestionEntry } from "#instruments";
import type { ChannelUnit } from "#quantity";
import { digitsInAnswerUnit } from "./answer-units.ts";
import type { RolePort } from "./role-ports.ts";

/** What is said back; null for a command that was carried out; undefined when the words are not declared. */
export type DeclaredAnswer = string | null | undefined;

const escaped = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);

/** A message of the entry as a pattern: its placeholder stands for a number. Capitals do not matter. */
const pattern = (text: string): RegExp =>
  new RegExp(
    `^${text
      .split(/\{(?:value|input)\}/)
      .map(escaped)
      .join(String.raw`\s*([+-]?[\d.]+(?:[Ee][+-]?\d+)?)\s*`)}$`,
    "i",
  );

interface Rule {
  readonly pattern: RegExp;
  answer(number: number): string | null;
}

/**
 * The words that an entry declares beyond those of the open standards, as a simulated instrument answers them: an author's
 * own dialect gets a twin of its own, so that the entry can be tried before the instrument is there.
 */
export const declaredDialogue = (
  entry: QuestionEntry,
  role: RolePort,
  identification: string,
): ((message: string) => DeclaredAnswer) => {
  const rules: Rule[] = [{ pattern: pattern(entry.identify.ask), answer: () => identification }];
  const add = (text: string | undefined, answer: Rule["answer"]) => {
    if (text !== undefined) rules.push({ pattern: pattern(text), answer });
  };

  add(entry.errors?.ask, () => `${entry.errors?.none ?? 0},"No error"`);
  for (const [unit, known] of Object.entries(entry.read)) {
    const shape = known.shape === undefined ? null : lineTemplate(known.shape);
    add(known.ask, (number) => {
      const input = Number.isNaN(number) ? known.inputs.first : number;
      const reading =
        role.role === "source"
          ? role.port.temperature()
          : role.role === "readout" && role.port.unitAt(input) === unit
            ? role.port.read(input)
            : { kind: "beyond" as const, sign: 1 as const };
      const value =
        reading.kind === "beyond"
          ? String(known.openAt?.[0] ?? "9.9E37")
          : digitsInAnswerUnit(reading.value, unit as ChannelUnit, known.answers, 4);
      return shape === null ? value : shape.fill(value, input);
    });
  }
  const { probe } = entry;
  add(probe?.ask, (number) =>
    role.role === "readout"
      ? (role.port.probeAt(Number.isNaN(number) ? (probe?.inputs.first ?? 0) : number) ?? probe?.none ?? "")
      : (probe?.none ?? ""),
  );
  if (role.role === "source") {
    const { port } = role;
    add(entry.setPoint?.readBack.ask, () => port.setPointNow().toFixed(entry.setPoint?.decimals ?? 3));
    add(entry.setPoint?.tell, (value) => {
      port.setPoint(value);
      return null;
    });
    add(entry.output?.readBack.ask, () =>
      port.outputOn() ? (entry.output?.readBack.on ?? "1") : (entry.output?.readBack.off ?? "0"),
    );
    add(entry.output?.on, () => {
      port.switchOutput(true);
      return null;
    });
    add(entry.output?.off, () => {
      port.switchOutput(false);
      return null;
    });
  }
  for (const command of entry.onConnect) add(command, () => null);

  return (message) => {
    for (const rule of rules) {
      const match = rule.pattern.exec(message.trim());
      if (match !== null) return rule.answer(Number(match[1] ?? Number.NaN));
    }
    return undefined;
  };
};

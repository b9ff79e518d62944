import type { Job } from "#calibration";
import type { RunView } from "#contract";
import type { Surroundings } from "../command.ts";
import { askPerson } from "./ask-person.ts";
import { ByHand } from "./by-hand.ts";
import { isTerminal, type Progress } from "./progress.ts";
import { TypedAnswers } from "./typed-answers.ts";

/** Who reads and sets by hand: the person at the terminal, or whoever writes JSON Lines to the standard input. */
export const typedAnswersOf = (
  { stdin, stdout }: Surroundings,
  progress: Progress,
  job: Job,
  by: string,
): { readonly byHand: ByHand; close(): void } => {
  const refused = ({ message }: { readonly message: string }): void => progress.say(message);
  if (isTerminal(stdout) && (stdin as { isTTY?: boolean }).isTTY === true) {
    const ask: ConstructorParameters<typeof ByHand>[0]["ask"] = (wanted, _view, signal) => {
      progress.close();
      return askPerson({ stdin, stdout }, wanted, by, signal);
    };
    return { byHand: new ByHand({ ask, refused }), close: () => undefined };
  }
  const answers = new TypedAnswers(stdin);
  const byHand = new ByHand({
    ask: (wanted, view, signal) => {
      progress.want(wanted, view as unknown as RunView);
      return answers.next(view, job, by, signal);
    },
    refused,
  });
  return { byHand, close: () => answers.close() };
};

import { describe, expect, it } from "vitest";
import { evaluate, type RunEvent, type RunEventOf } from "#calibration";
import { by, conductByHand, dialJob, everythingByHand } from "./by-hand.test-support.ts";

const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);
const typed = (log: readonly RunEvent[]) => ofKind(log, "readings-taken").filter((event) => event.by !== undefined);
const pointsOf = (log: readonly RunEvent[]) => evaluate(log).items[0]!.passes[0]!.points;

describe("an item that is typed beside a wired reference", () => {
  it("is asked for once the reference rests, in rounds, and measured to its error [E61]", async () => {
    const { log } = await conductByHand(dialJob());
    console.log(
      JSON.stringify(
        log.filter((e) => e.kind !== "run-opened" && !(e.kind === "readings-taken" && e.by === undefined)),
        null,
        0,
      ).replaceAll("},{", "},\n{"),
    );
    console.log(JSON.stringify(pointsOf(log), null, 1).slice(0, 6000));
    expect(log.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
  });
  it("all by hand", async () => {
    const { log, refusals } = await conductByHand(everythingByHand());
    console.log(
      refusals,
      JSON.stringify(
        log.filter((e) => e.kind !== "run-opened" && !(e.kind === "readings-taken" && e.by === undefined)),
        null,
        0,
      ).replaceAll("},{", "},\n{"),
    );
    console.log(
      JSON.stringify(
        pointsOf(log).map((p) => (p.status === "measured" ? p.reported : p)),
        null,
        1,
      ).slice(0, 6000),
    );
    expect(log.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
  });
});

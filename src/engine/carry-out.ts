import type { RunLog } from "#calibration";
import { failure, success, type FaultValue, type Outcome } from "#fault";
import { adviceFrom, checksOf } from "./advise.ts";
import type { HeatGuard } from "./heat-guard.ts";
import type { Effect, EngineInput, SourceFound } from "./inputs.ts";
import type { BenchPort } from "./ports.ts";

const noRampOfItsOwn = (): Promise<Outcome<null>> =>
  Promise.resolve(
    failure(
      "instrument.entry-invalid",
      "The heat source has no ramp rate of its own. Write ramp.by: steps in the procedure, and the set point is moved in small steps.",
    ),
  );

const cannotBeAsked: Outcome<SourceFound> = success({ setPoint: null, output: null });
/** A real bench has nobody who puts the reference elsewhere: a person is told to. */
const noHand: Outcome<null> = failure("run.not-allowed", "The reference is put there by hand.");

/** An input of the engine's own, at the moment at which it is taken. */
type Following = (at: number) => EngineInput;

/** Carries an effect out; what follows from it comes back as further inputs. */
export const carryOut = async (
  effect: Effect,
  { bench, guard, log }: { readonly bench: BenchPort; readonly guard: HeatGuard; readonly log: () => RunLog },
): Promise<Following[]> => {
  const failed = (fault: FaultValue): ((at: number) => EngineInput)[] => [
    (at) => ({ kind: "effect-failed", at, effect, fault }),
  ];
  switch (effect.kind) {
    case "command-set-point": {
      const done = await guard.heat(() => bench.commandSetPoint(effect.temperature));
      return done.ok ? [] : failed(done.fault);
    }
    case "set-ramp-rate": {
      const done = await guard.heat(() => bench.setRampRate?.(effect.rate) ?? noRampOfItsOwn());
      return done.ok ? [] : failed(done.fault);
    }
    case "switch-output": {
      const done = effect.on
        ? await guard.heat(() => bench.switchOutput(true))
        : await (guard.halt?.off ?? guard.off());
      return done.ok ? [] : failed(done.fault);
    }
    case "look-at-source": {
      const found = await (bench.sourceState?.() ?? Promise.resolve(cannotBeAsked));
      return [(at) => ({ kind: "source-looked", at, by: effect.by, found })];
    }
    case "advise-adjustment": {
      const advice = adviceFrom(log());
      return [(at) => ({ kind: "advised", at, advice })];
    }
    case "adjust-items": {
      for (const { item, zero, span } of effect.adjustments) {
        const done = await bench.adjustItem(item, zero, span);
        if (!done.ok) return failed(done.fault);
      }
      return [(at) => ({ kind: "adjusted", at, adjustments: effect.adjustments, by: effect.by })];
    }
    case "place-reference": {
      const { where } = effect;
      const done = await (bench.placeReference?.(where) ?? Promise.resolve(noHand));
      return done.ok ? [(at) => ({ kind: "placed", at, where })] : failed(done.fault);
    }
    case "fit-reference":
      await bench.fitReference?.(effect.reference);
      return [];
    case "judge-check": {
      const checks = checksOf(log());
      return [(at) => ({ kind: "check-judged", at, checks })];
    }
    case "finish":
      return [];
  }
};

import type { PassResult, SwitchResult } from "#calibration";
import type { CheckInput } from "./check-input.ts";
import { english } from "./words/english.ts";
import type { Finding } from "./model.ts";

const { passNames } = english.paper;

interface Place {
  readonly name: string;
  readonly result: SwitchResult;
}

const placesOf = ({ result }: CheckInput): Place[] =>
  result.items.flatMap((item) =>
    item.passes.flatMap((pass) =>
      pass.switch === undefined
        ? []
        : [{ name: `${item.tag}, ${passNames[pass.pass].toLowerCase()}`, result: pass.switch }],
    ),
  );

/** Whether a pass found anything at all about its item: a point or, of a switch, a change or that there was none. */
export const hasFindings = (pass: PassResult): boolean =>
  pass.switch === undefined
    ? pass.points.some(({ status }) => status === "measured")
    : [pass.switch.rising, pass.switch.falling].some(({ status }) => status === "measured" || status === "no-change");

/** What forbids issue in the results of a switch. */
export const switchStops = (input: CheckInput): readonly Finding[] =>
  placesOf(input).flatMap(({ name, result }) =>
    [result.rising, result.falling].flatMap((side): readonly Finding[] => {
      const at = `${name}, ${side.role} ${side.direction}`;
      if (side.status === "flagged")
        return [
          { clause: "7.8.2.1 m", message: `${at}: flagged: ${side.reason} Repeat the ramp, or skip it with a reason.` },
        ];
      if (side.status !== "measured") return [];
      if (!(side.budget.U > 0))
        return [{ clause: "7.8.4.1 a", message: `${at}: the result has no uncertainty. Evaluate the log again.` }];
      return [];
    }),
  );

/** What the person who authorises should look at in the results of a switch. */
export const switchWarnings = (input: CheckInput): readonly Finding[] =>
  placesOf(input).flatMap(({ name, result }) => {
    const sides = [result.rising, result.falling].flatMap((side): readonly Finding[] => {
      const at = `${name}, ${side.role} ${side.direction}`;
      if (side.status !== "measured")
        return side.status === "flagged"
          ? []
          : [{ clause: "7.8.2.1 n", message: `${at}: ${side.reason} The certificate says so.` }];
      const decision = side.conformity?.decision;
      return decision === undefined || decision === "pass" || decision === "conditional-pass"
        ? []
        : [
            {
              clause: "7.8.6.2",
              message: `${at}: ${side.reported.temperature} °C, ${decision.replace("-", " ")}. Tell the customer; what the switch was to protect may have been without it.`,
            },
          ];
    });
    const { deadBand } = result;
    const band = deadBand.status === "measured" ? deadBand.conformity?.decision : undefined;
    return deadBand.status === "measured" && (band === "fail" || band === "undecided" || band === "conditional-fail")
      ? [
          ...sides,
          { clause: "7.8.6.2", message: `${name}: dead band ${deadBand.reported.value} K, ${band.replace("-", " ")}.` },
        ]
      : sides;
  });

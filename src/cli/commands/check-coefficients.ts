import { checkCoefficients, readPastedCheck, withCoefficients, type Slip } from "#calibration";
import { Fault, success, type Outcome } from "#fault";
import type { Command } from "../command.ts";
import { answerDocument } from "../json-document.ts";

const help = `
dwellpoint check-coefficients

Works out a report's own check values from the coefficients that were copied from it, and finds a slip of copying. One JSON
object on standard input (or JSON Lines, an answer each).

in   {"sensor":S,"checkValues":[{"temperature":t,"signal":s,"digits":n},…]}
       S        a sensor as for convert; coefficients as numbers, or as text ("3.9083E-03") to keep zeros at their end
       signal   what the report states at t °C, as a number or as text; digits: places after the point as printed, from
                the text, or else from the longest of the numbers, where it is left out

out  {"verdict","message","checkValues":[{"temperature","signal","computed","difference","tolerance","agrees"}],
      "slips":[{"kind","coefficient","position","power","is","shouldBe","corrected"}],"withinRounding","sensor"?}
     verdict  agree        every check value is met within half a unit of its last printed place
              found        one place explains what is not met: slips names it, sensor is the corrected one if just one fits
              several      slips at several places would explain it: look at each
              unexplained  no single slip does
     kinds    digit, swapped-digits, sign, decimal-shift, exchanged; position counts digits from the first one printed

Exit 0 when all check values agree, 1 when some do not or the input cannot be used, 2 for wrong usage.
`;

const plainSlip = ({ corrected, ...slip }: Slip): object => ({ ...slip, corrected: Object.fromEntries(corrected) });

const answerWith =
  (disagreed: () => void) =>
  (value: unknown): Outcome<object> => {
    const input = readPastedCheck(value);
    if (!input.ok) return input;
    const outcome = checkCoefficients(input.value);
    if (!outcome.ok) return outcome;
    const { verdict, message, checkValues, slips, withinRounding } = outcome.value;
    if (verdict !== "agree") disagreed();
    const [only, ...others] = slips;
    return success({
      verdict,
      message,
      checkValues,
      slips: slips.map(plainSlip),
      withinRounding,
      ...(only === undefined || others.length > 0
        ? {}
        : { sensor: withCoefficients(input.value.sensor, only.corrected) }),
    });
  };

/** `check-coefficients`: coefficients copied from a report against the report's own check values. */
export const checkCoefficientsCommand: Command = {
  name: "check-coefficients",
  summary: "coefficients from a report against its own check values; finds a wrong digit",
  help,
  run: async (words, surroundings) => {
    if (words.length > 0)
      throw new Fault(
        "usage.wrong",
        `check-coefficients takes no words, only JSON on standard input; "${words[0]}" is one. dwellpoint check-coefficients --help tells more.`,
      );
    let differs = false;
    const code = await answerDocument(
      surroundings,
      answerWith(() => {
        differs = true;
      }),
    );
    return differs ? 1 : code;
  },
};

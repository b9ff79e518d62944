import { bandOf, fitCurve, fitInputSchema, type Band, type CurveFit } from "#calibration";
import { failure, Fault, success, type Outcome } from "#fault";
import type { Command } from "../command.ts";
import { answerDocument } from "../json-document.ts";
import { readFiniteNumber } from "../json-lines.ts";

const help = `
dwellpoint fit

Fits an equation to calibration points by weighted least squares. One JSON object on standard input (or JSON Lines, an
answer each).

in   {"model":M,"points":[{"x":t,"y":s,"u":u},…]}
       x      temperature, °C
       y      signal there: Ω for platinum, mV (junction at 0 °C) for a thermocouple, anything for a polynomial
       u      standard uncertainty of y, this point's own; at every point or at none
     "common":{"x":u,"y":u}    standard uncertainty that all points share, of x in K and of y in its unit: the reference,
                               the readout. It is not divided by the number of points. A point may have its own "common".
     "at":[t,…]                temperatures at which the curve's own uncertainty is wanted

models
  callendar-van-dusen       r0, a, b, and c where there are points below 0 °C
  its-90                    "subrange": 1 to 11; "rtpw": R(0.01 °C), taken as exact; fitted along where it is left out
  polynomial                "degree"; coefficients from the constant up
  thermocouple-deviation    "type", "degree"; deviation from the type's reference function, mV, powers of °C

out  {"coefficients","standardErrors","covariance","residuals","residualStandardDeviation","degreesOfFreedom",
      "names","range","sensor","notes","band"?}
     coefficients and standard errors by name for platinum, as a list otherwise; rows of the covariance in the order of
     names. With u at every point, standard errors and covariance follow from u, and residualStandardDeviation is without
     unit, about 1 for a sound fit; without u, they follow from the scatter. As many points as coefficients and no u:
     standardErrors, covariance and residualStandardDeviation are null, because nothing is left to judge the fit by.
     {"error":{"code","message","data"}}   in its place; code fit.impossible where the points do not determine the curve

Exit 0 when every object was answered, 1 when one or more got an error, 2 for wrong usage.
Example: echo '{"model":"polynomial","degree":1,"points":[{"x":0,"y":1},{"x":1,"y":3},{"x":2,"y":5.1}]}' | dwellpoint fit
`;

/** Coefficients of platinum by name, as a sensor has them; of polynomials as a list, as a deviation has them. */
const inForm = (fit: CurveFit, values: readonly number[]): object =>
  fit.model === "callendar-van-dusen" || fit.model === "its-90"
    ? Object.fromEntries(fit.names.map((name, index) => [name, values[index]!]))
    : values;

const bandAt = (fit: CurveFit, temperatures: readonly unknown[]): Outcome<readonly Band[]> => {
  const band = bandOf(fit);
  if (!band.ok) return band;
  const rows: Band[] = [];
  for (const value of temperatures) {
    const temperature = readFiniteNumber("at", value);
    if (!temperature.ok) return temperature;
    const row = band.value(temperature.value);
    if (!row.ok) return row;
    rows.push(row.value);
  }
  return success(rows);
};

const answer = (value: unknown): Outcome<object> => {
  const { at, ...input } = (typeof value === "object" && value !== null ? value : {}) as Record<string, unknown>;
  const parsed = fitInputSchema.safeParse(input);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    const field = issue?.path.join(".") ?? "";
    const place = field === "" ? "The input" : field;
    return failure(
      "input.invalid",
      `${place}: ${issue?.message ?? "not as it should be"}. dwellpoint fit --help shows the fields.`,
      { field },
    );
  }
  if (at !== undefined && !Array.isArray(at))
    return failure("input.invalid", 'Field "at" must be a list of temperatures in °C.', { field: "at" });
  const outcome = fitCurve(parsed.data);
  if (!outcome.ok) return outcome;
  const fit = outcome.value;
  const band = at === undefined ? undefined : bandAt(fit, at);
  if (band !== undefined && !band.ok) return band;
  const { covariance, residuals, residualStandardDeviation, degreesOfFreedom, names, range, sensor, notes } = fit;
  return success({
    coefficients: inForm(fit, fit.coefficients),
    standardErrors: fit.standardErrors === null ? null : inForm(fit, fit.standardErrors),
    covariance,
    residuals,
    residualStandardDeviation,
    degreesOfFreedom,
    names,
    range,
    ...(sensor === null ? {} : { sensor }),
    notes,
    ...(band === undefined ? {} : { band: band.value }),
  });
};

/** `fit`: calibration points to coefficients with their covariance. */
export const fit: Command = {
  name: "fit",
  summary: "calibration points to coefficients with their uncertainty",
  help,
  run: (words, surroundings) => {
    if (words.length > 0)
      throw new Fault(
        "usage.wrong",
        `fit takes no words, only JSON on standard input; "${words[0]}" is one. dwellpoint fit --help tells more.`,
      );
    return answerDocument(surroundings, answer);
  },
};

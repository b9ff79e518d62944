import { z } from "zod";
import { thermocoupleTypes } from "#thermometry";
import { fitModels } from "./curve-fit.ts";

const shared = z.strictObject({
  x: z.number().optional().describe("of the temperatures, K"),
  y: z.number().optional().describe("of the signals, in their unit"),
});

/** What a fit is asked for, as JSON. Whether the numbers make sense is judged by `fitCurve`, which says more. */
export const fitInputSchema = z.strictObject({
  model: z.enum(fitModels),
  degree: z.number().optional().describe("highest power of a polynomial or deviation polynomial"),
  subrange: z.number().optional().describe("ITS-90 subrange, 1 to 11"),
  rtpw: z.number().optional().describe("resistance at 0.01 °C, Ω; fitted along where it is left out"),
  type: z.enum(thermocoupleTypes).optional().describe("letter designation, for thermocouple-deviation"),
  points: z.array(
    z.strictObject({
      x: z.number().describe("temperature, °C"),
      y: z.number().describe("signal: Ω for platinum, mV for a thermocouple"),
      u: z.number().optional().describe("standard uncertainty of y that is this point's own"),
      common: z.number().optional().describe("standard uncertainty of y from a cause that all points share"),
    }),
  ),
  common: shared.optional().describe("standard uncertainty that all points share"),
});

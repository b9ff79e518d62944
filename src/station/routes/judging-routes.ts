import { z } from "zod";
import { identifierSchema, passes } from "#calibration";
import { explanationSchema, problemSchema, validationSchema } from "#contract";
import type { Server } from "../http/server.ts";
import type { Desk } from "./desk.ts";

const runParameter = z.object({ run: identifierSchema });

/** What stands behind the figures of a run: their derivation, and their validation by Monte Carlo. */
export const judgingRoutes = (server: Server, desk: Desk): void => {
  server.route({
    method: "GET",
    url: "/api/runs/:run/explain",
    schema: {
      summary: "how the figures of one point came about, from raw readings to the decision",
      params: runParameter,
      querystring: z.object({
        item: z.string().min(1).max(200).describe("the item's id or its tag"),
        pass: z.enum(passes),
        point: z.coerce.number().int().nonnegative().describe("index into the procedure's points, from 0"),
      }),
      response: { 200: explanationSchema, 400: problemSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.explain(request.params.run, request.query),
  });
  const validation = "validation of each point's uncertainty by Monte Carlo (JCGM 101, clause 8); also in the result";
  server.route({
    method: "POST",
    url: "/api/runs/:run/validation",
    schema: {
      summary: `begins the ${validation}; anew where it was cancelled`,
      params: runParameter,
      response: { 200: validationSchema, 404: problemSchema },
    },
    handler: async (request) => desk.validate(request.params.run),
  });
  server.route({
    method: "DELETE",
    url: "/api/runs/:run/validation",
    schema: {
      summary: `cancels the ${validation}`,
      params: runParameter,
      response: { 200: validationSchema, 404: problemSchema },
    },
    handler: async (request) => desk.cancelValidation(request.params.run),
  });
};

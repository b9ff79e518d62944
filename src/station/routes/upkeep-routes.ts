import { z } from "zod";
import { identifierSchema } from "#calibration";
import { approveUpkeepSchema, kitUpkeepSchema, problemSchema, typedTestSchema, upkeepFindingSchema } from "#contract";
import type { UpkeepDesk } from "../desk/upkeep-desk.ts";
import type { Server } from "../http/server.ts";

const entryParameter = z.object({ entry: identifierSchema });
const refused = { 400: problemSchema, 404: problemSchema, 409: problemSchema, 422: problemSchema };

/** Tests of kit entries: their history and chart, typed readings evaluated and kept, approval into the kit's next revision. */
export const upkeepRoutes = (server: Server, desk: UpkeepDesk): void => {
  server.route({
    method: "GET",
    url: "/api/kit/entries/:entry/upkeep",
    schema: {
      summary: "tests of a kit entry: findings, control chart, guided steps",
      params: entryParameter,
      response: { 200: kitUpkeepSchema, 404: problemSchema },
    },
    handler: async (request) => desk.of(request.params.entry),
  });
  server.route({
    method: "POST",
    url: "/api/kit/entries/:entry/upkeep/trial",
    schema: {
      summary: "what typed readings of a test come to; nothing is recorded",
      params: entryParameter,
      body: typedTestSchema,
      response: { 200: upkeepFindingSchema, ...refused },
    },
    handler: async (request) => desk.attempt(request.params.entry, request.body),
  });
  server.route({
    method: "POST",
    url: "/api/kit/entries/:entry/upkeep",
    schema: {
      summary: "keeps a test with its typed readings as a finding of the kit entry",
      params: entryParameter,
      body: typedTestSchema,
      response: { 201: kitUpkeepSchema, ...refused },
    },
    handler: async (request, reply) => reply.code(201).send(await desk.keep(request.params.entry, request.body)),
  });
  server.route({
    method: "POST",
    url: "/api/kit/entries/:entry/upkeep/:finding/approval",
    schema: {
      summary: "approves what a kept test found: it becomes the kit entry's next revision",
      params: entryParameter.extend({ finding: z.coerce.number().int().min(1) }),
      body: approveUpkeepSchema,
      response: { 201: kitUpkeepSchema, ...refused },
    },
    handler: async (request, reply) =>
      reply.code(201).send(await desk.approve(request.params.entry, request.params.finding, request.body)),
  });
};

import { z } from "zod";
import type { Job } from "#calibration";
import {
  importedFileNameSchema,
  importParametersSchema,
  problemSchema,
  readingsCheckSchema,
  readingsFileSchema,
  readingsQuestionSchema,
  runSummarySchema,
  type RunSummary,
} from "#contract";
import type { ImportDesk } from "../desk/import-desk.ts";
import type { Server } from "../http/server.ts";

/** Largest file of readings that is taken, bytes. */
const mostBytes = 16 * 1024 * 1024;

/** Readings that were recorded elsewhere: a file is looked at, checked with what its columns mean, and taken in as a run. */
export const importRoutes = (
  server: Server,
  desk: ImportDesk,
  station: { readonly jobOf: (job: string) => Promise<Job>; readonly taken: (run: string) => Promise<RunSummary> },
): void => {
  server.route({
    method: "POST",
    url: "/api/jobs/:job/readings/files",
    bodyLimit: mostBytes,
    schema: {
      summary: "a file of readings, CSV or XLSX, to be looked at; nothing is recorded",
      consumes: ["application/octet-stream"],
      params: importParametersSchema,
      querystring: importedFileNameSchema,
      body: z.instanceof(Buffer).describe("the file"),
      response: { 200: readingsFileSchema, 404: problemSchema, 413: problemSchema, 422: problemSchema },
    },
    handler: async (request) => desk.look(await station.jobOf(request.params.job), request.body, request.query),
  });
  server.route({
    method: "POST",
    url: "/api/jobs/:job/readings/checks",
    schema: {
      summary: "what the readings of a file come to: bad rows, windows of points; nothing is recorded",
      params: importParametersSchema,
      body: readingsQuestionSchema,
      response: { 200: readingsCheckSchema, 404: problemSchema },
    },
    handler: async (request) => desk.check(await station.jobOf(request.params.job), request.body),
  });
  server.route({
    method: "POST",
    url: "/api/jobs/:job/readings/runs",
    schema: {
      summary: "takes the readings of a file in as a run that has ended, and remembers what its columns mean",
      params: importParametersSchema,
      body: readingsQuestionSchema,
      response: { 201: runSummarySchema, 404: problemSchema, 409: problemSchema, 422: problemSchema },
    },
    handler: async (request, reply) => {
      const run = await desk.take(await station.jobOf(request.params.job), request.body);
      return reply.code(201).send(await station.taken(run));
    },
  });
};

import { z } from "zod";
import { identifierSchema } from "#calibration";
import {
  jobDetailSchema,
  jobSummarySchema,
  offeredHistorySchema,
  problemSchema,
  runSummarySchema,
  startRunSchema,
  stationSchema,
} from "#contract";
import type { Server } from "../http/server.ts";
import type { Desk } from "./desk.ts";

const jobParameter = z.object({ job: identifierSchema });

/** Jobs: what there is, one in full with its plan, a new one, a run of one. */
export const jobRoutes = (server: Server, desk: Desk): void => {
  server.route({
    method: "GET",
    url: "/api/station",
    schema: { summary: "what this station is", response: { 200: stationSchema } },
    handler: async () => desk.station(),
  });
  server.route({
    method: "GET",
    url: "/api/jobs",
    schema: { summary: "all jobs, the newest first", response: { 200: z.array(jobSummarySchema) } },
    handler: async () => desk.jobs(),
  });
  server.route({
    method: "POST",
    url: "/api/jobs",
    schema: {
      summary: "a job file, YAML or JSON, as text",
      consumes: ["text/plain", "application/yaml"],
      body: z.string().min(1).describe("the text of the job file"),
      response: { 201: jobSummarySchema, 422: problemSchema },
    },
    handler: async (request, reply) => reply.code(201).send(await desk.addJob(request.body)),
  });
  server.route({
    method: "GET",
    url: "/api/jobs/:job",
    schema: {
      summary: "a job in full, with its plan and runs",
      params: jobParameter,
      response: { 200: jobDetailSchema, 404: problemSchema },
    },
    handler: async (request) => desk.job(request.params.job),
  });
  server.route({
    method: "GET",
    url: "/api/jobs/:job/history",
    schema: {
      summary: "errors that the records know of the job's items from before",
      params: jobParameter,
      response: { 200: offeredHistorySchema, 404: problemSchema },
    },
    handler: async (request) => desk.history(request.params.job),
  });
  server.route({
    method: "POST",
    url: "/api/jobs/:job/runs",
    schema: {
      summary: "opens a run of a job and connects its bench",
      params: jobParameter,
      body: startRunSchema,
      response: { 201: runSummarySchema, 404: problemSchema, 422: problemSchema },
    },
    handler: async (request, reply) => reply.code(201).send(await desk.startRun(request.params.job, request.body)),
  });
};

import { z } from "zod";
import { identifierSchema } from "#calibration";
import {
  keepTraceSchema,
  problemSchema,
  suspectSchema,
  suspectSensorSchema,
  traceQuestionSchema,
  traceStateSchema,
} from "#contract";
import { sendFile } from "../http/downloads.ts";
import type { Server } from "../http/server.ts";
import type { TraceDesk } from "../desk/trace-desk.ts";

const named = z.object({ trace: identifierSchema });

/** A reference or readout was found out: which results move with it. */
export const traceRoutes = (server: Server, desk: TraceDesk): void => {
  server.route({
    method: "GET",
    url: "/api/suspects",
    schema: {
      summary: "references and readouts that runs of these records used",
      response: { 200: z.array(suspectSchema) },
    },
    handler: async () => desk.suspects(),
  });
  server.route({
    method: "GET",
    url: "/api/suspects/:entry/revisions/:revision/sensor",
    schema: {
      summary: "the coefficients of one revision of a reference",
      params: z.object({ entry: identifierSchema, revision: z.coerce.number().int().min(1) }),
      response: { 200: suspectSensorSchema, 404: problemSchema },
    },
    handler: async (request) => desk.sensor(request.params.entry, request.params.revision),
  });
  server.route({
    method: "POST",
    url: "/api/traces",
    schema: {
      summary: "begins a trace: what used the suspect is evaluated again; nothing in the records is changed",
      body: traceQuestionSchema,
      response: { 200: traceStateSchema, 400: problemSchema, 422: problemSchema },
    },
    handler: async (request) => desk.begin(request.body.suspicion, request.body.rehearsals),
  });
  server.route({
    method: "GET",
    url: "/api/traces/:trace",
    schema: {
      summary: "how far a trace has come, and what it found",
      params: named,
      response: { 200: traceStateSchema, 404: problemSchema },
    },
    handler: async (request) => desk.state(request.params.trace),
  });
  server.route({
    method: "DELETE",
    url: "/api/traces/:trace",
    schema: {
      summary: "cancels a trace",
      params: named,
      response: { 200: traceStateSchema, 404: problemSchema },
    },
    handler: async (request) => desk.cancel(request.params.trace),
  });
  server.route({
    method: "POST",
    url: "/api/traces/:trace/keep",
    schema: {
      summary: "writes what a trace found into the records, as a finding of the suspect",
      params: named,
      body: keepTraceSchema,
      response: { 200: traceStateSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.keep(request.params.trace, request.body.by),
  });
  server.route({
    method: "GET",
    url: "/api/traces/:trace/list.csv",
    schema: {
      summary: "what a trace found as a table, a row for each result",
      produces: ["text/csv"],
      params: named,
      response: { 404: problemSchema, 409: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, {
        ...desk.list(request.params.trace),
        type: "text/csv; charset=utf-8",
        disposition: "attachment",
      }),
  });
};

import { z } from "zod";
import { identifierSchema, passes } from "#calibration";
import {
  approachSchema,
  certificateLanguages,
  certificateSummarySchema,
  diagnosisAnswerSchema,
  eventsAnswerSchema,
  issueSchema,
  problemSchema,
  resultAnswerSchema,
  runCommandSchema,
  runSummarySchema,
  runViewSchema,
  stopRunSchema,
} from "#contract";
import { Fault } from "#fault";
import { sendFile } from "../http/downloads.ts";
import type { Server } from "../http/server.ts";
import { streamRun } from "../live/event-stream.ts";
import type { Desk } from "./desk.ts";

const runParameter = z.object({ run: identifierSchema });
const mostNumbers = 500;

const lineNumbers = z
  .string()
  .max(8000)
  .regex(/^(\d{1,9}(,\d{1,9})*)?$/, "numbers of log lines, separated by commas")
  .describe(`numbers of log lines, separated by commas; ${mostNumbers} at most`);

const readNumbers = (text: string): number[] => {
  const numbers = text === "" ? [] : text.split(",").map(Number);
  if (numbers.length > mostNumbers) {
    throw new Fault(
      "input.invalid",
      `At most ${mostNumbers} lines of a log are given at once. Ask for fewer, or take the whole log.`,
    );
  }
  return numbers;
};

/** A run while it goes on: what it shows, its stream, commands to it. */
export const liveRoutes = (server: Server, desk: Desk): void => {
  server.route({
    method: "GET",
    url: "/api/runs/:run",
    schema: {
      summary: "a run in short",
      params: runParameter,
      response: { 200: runSummarySchema, 404: problemSchema },
    },
    handler: async (request) => desk.run(request.params.run),
  });
  server.route({
    method: "GET",
    url: "/api/runs/:run/view",
    schema: {
      summary: "all that the screen shows of a run",
      params: runParameter,
      response: { 200: runViewSchema, 404: problemSchema },
    },
    handler: async (request) => desk.view(request.params.run),
  });
  server.route({
    method: "GET",
    url: "/api/runs/:run/stream",
    schema: {
      summary: "a run as server-sent events",
      description:
        "Each event's data is one message {kind, seq, …}: kind view carries the whole view and is always the first; approach the picture of the present point; ended is the last. seq counts the messages of this connection.",
      produces: ["text/event-stream"],
      params: runParameter,
      response: { 404: problemSchema },
    },
    handler: async (request, reply) => {
      const feed = await desk.feed(request.params.run);
      for (const [name, value] of Object.entries(reply.getHeaders()))
        if (value !== undefined) reply.raw.setHeader(name, value);
      reply.hijack();
      await streamRun(reply.raw, feed);
    },
  });
  server.route({
    method: "GET",
    url: "/api/runs/:run/approach",
    schema: {
      summary: "how one point was approached, thinned to a picture",
      params: runParameter,
      querystring: z.object({ pass: z.enum(passes), point: z.coerce.number().int().nonnegative() }),
      response: { 200: approachSchema, 404: problemSchema },
    },
    handler: async (request) => desk.approach(request.params.run, request.query.pass, request.query.point),
  });
  server.route({
    method: "POST",
    url: "/api/runs/:run/commands",
    schema: {
      summary: "asks something of a run; answers the view after it",
      params: runParameter,
      body: runCommandSchema,
      response: { 200: runViewSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.command(request.params.run, request.body),
  });
  server.route({
    method: "POST",
    url: "/api/runs/:run/stop",
    schema: {
      summary: "takes the heat of a run away at once, and pauses it",
      description:
        "Answers before anything else: it waits neither for an instrument in the middle of a question nor for records that cannot be written. What the source answers stands in the next view. The run is ended by the command stop, or gone on with by resume.",
      params: runParameter,
      body: stopRunSchema,
      response: { 202: runViewSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request, reply) => reply.code(202).send(desk.stop(request.params.run, request.body.by)),
  });
  server.route({
    method: "POST",
    url: "/api/runs/:run/presence",
    schema: {
      summary: "somebody is at the run: the time that its source may heat with nobody near begins anew",
      params: runParameter,
      response: { 200: runViewSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.attend(request.params.run),
  });
};

const previewQuery = z.object({
  languages: z
    .string()
    .transform((text) => text.split(","))
    .pipe(z.array(z.enum(certificateLanguages)))
    .optional()
    .describe("of the certificate, divided by commas"),
});

/** A run as it is kept: result, raw material, log, and the way to its certificate. */
export const recordRoutes = (server: Server, desk: Desk): void => {
  server.route({
    method: "GET",
    url: "/api/runs/:run/result",
    schema: {
      summary: "the result of a run and the check before issue",
      params: runParameter,
      response: { 200: resultAnswerSchema, 404: problemSchema },
    },
    handler: async (request) => desk.result(request.params.run),
  });
  server.route({
    method: "GET",
    url: "/api/runs/:run/diagnosis",
    schema: {
      summary: "what the pattern of errors of a run may mean, how sure, and what would tell",
      params: runParameter,
      response: { 200: diagnosisAnswerSchema, 404: problemSchema },
    },
    handler: async (request) => desk.diagnosis(request.params.run),
  });
  server.route({
    method: "GET",
    url: "/api/runs/:run/events",
    schema: {
      summary: "log lines by number: what a figure was worked out from",
      params: runParameter,
      querystring: z.object({ n: lineNumbers }),
      response: { 200: eventsAnswerSchema, 404: problemSchema },
    },
    handler: async (request) => desk.events(request.params.run, readNumbers(request.query.n)),
  });
  server.route({
    method: "GET",
    url: "/api/runs/:run/log",
    schema: {
      summary: "the raw log, JSON Lines",
      produces: ["application/jsonl"],
      params: runParameter,
      response: { 404: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, {
        ...(await desk.log(request.params.run)),
        type: "application/jsonl; charset=utf-8",
        disposition: "attachment",
      }),
  });
  server.route({
    method: "GET",
    url: "/api/runs/:run/preview.pdf",
    schema: {
      summary: "the certificate as it would be, marked as not issued",
      produces: ["application/pdf"],
      params: runParameter,
      querystring: previewQuery,
      response: { 404: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, {
        ...(await desk.preview(request.params.run, request.query.languages)),
        type: "application/pdf",
        disposition: "inline",
      }),
  });
  server.route({
    method: "POST",
    url: "/api/runs/:run/certificate",
    schema: {
      summary: "issues the certificate of an ended run",
      params: runParameter,
      body: issueSchema,
      response: { 201: certificateSummarySchema, 404: problemSchema, 409: problemSchema, 422: problemSchema },
    },
    handler: async (request, reply) => {
      const { authorisedBy, ...terms } = request.body;
      return reply.code(201).send(await desk.issue(request.params.run, authorisedBy, undefined, terms));
    },
  });
};

import { z } from "zod";
import { identifierSchema } from "#calibration";
import {
  approvalSchema,
  broughtSchema,
  kitDetailSchema,
  kitAnswerSchema,
  newerKitSchema,
  pluggedSchema,
  problemSchema,
  proposalQuestionSchema,
  proposalSchema,
  takeKitSchema,
} from "#contract";
import type { KitDesk } from "../desk/kit-desk.ts";
import { sendFile } from "../http/downloads.ts";
import type { Server } from "../http/server.ts";

/** Largest file that is taken, bytes: a certificate with pictures in it. */
const mostBytes = 16 * 1024 * 1024;

const entryParameter = z.object({ entry: identifierSchema });
const jobParameter = z.object({ job: identifierSchema });

const recordedRoutes = (server: Server, desk: KitDesk): void => {
  server.route({
    method: "GET",
    url: "/api/kit",
    schema: {
      summary: "references, readouts and sources, the newest revision of each",
      response: { 200: kitAnswerSchema },
    },
    handler: async () => desk.kit(),
  });
  server.route({
    method: "GET",
    url: "/api/kit/entries/:entry",
    schema: {
      summary: "a kit entry with its revisions and what each changed",
      params: entryParameter,
      response: { 200: kitDetailSchema, 404: problemSchema },
    },
    handler: async (request) => desk.entry(request.params.entry),
  });
  server.route({
    method: "GET",
    url: "/api/kit/entries/:entry/label.pdf",
    schema: {
      summary: "a label with a code that carries identity and coefficients",
      produces: ["application/pdf"],
      params: entryParameter,
      response: { 404: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, { ...(await desk.label(request.params.entry)), type: "application/pdf", disposition: "inline" }),
  });
};

const bringingRoutes = (server: Server, desk: KitDesk): void => {
  server.route({
    method: "POST",
    url: "/api/kit/brought",
    bodyLimit: mostBytes,
    schema: {
      summary:
        "what a probe brought, read: a TEDS image, a calibration certificate in XML, a label's text; nothing is recorded",
      consumes: ["application/octet-stream"],
      body: z.instanceof(Buffer).describe("the file, told by its content"),
      response: { 200: broughtSchema, 413: problemSchema, 422: problemSchema },
    },
    handler: async (request) => desk.bring(request.body),
  });
  server.route({
    method: "POST",
    url: "/api/kit/readouts/:readout/probes",
    schema: {
      summary: "which probes are plugged into a kept readout, by its own word; commands nothing",
      params: z.object({ readout: identifierSchema }),
      response: { 200: pluggedSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.plugged(request.params.readout),
  });
  server.route({
    method: "POST",
    url: "/api/kit/proposals",
    schema: {
      summary: "what was brought as a revision of the kit: missing, checked, changed; nothing is recorded",
      body: proposalQuestionSchema,
      response: { 200: proposalSchema, 400: problemSchema, 404: problemSchema },
    },
    handler: async (request) => desk.propose(request.body),
  });
  server.route({
    method: "POST",
    url: "/api/kit/revisions",
    schema: {
      summary: "approves what was brought: it becomes the entry's next revision",
      body: approvalSchema,
      response: {
        201: kitDetailSchema,
        400: problemSchema,
        404: problemSchema,
        409: problemSchema,
        422: problemSchema,
      },
    },
    handler: async (request, reply) => reply.code(201).send(await desk.approve(request.body)),
  });
};

const jobKitRoutes = (server: Server, desk: KitDesk): void => {
  server.route({
    method: "GET",
    url: "/api/jobs/:job/newer-kit",
    schema: {
      summary: "entries of a job's kit of which the records have a newer revision",
      params: jobParameter,
      response: { 200: newerKitSchema, 404: problemSchema },
    },
    handler: async (request) => desk.newer(request.params.job),
  });
  server.route({
    method: "POST",
    url: "/api/jobs/:job/newer-kit",
    schema: {
      summary: "takes the newest revisions of these entries into the job, as a new revision of it",
      params: jobParameter,
      body: takeKitSchema,
      response: { 200: newerKitSchema, 400: problemSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.take(request.params.job, request.body.ids),
  });
};

/** The kit: recorded, brought, and taken into jobs. */
export const kitRoutes = (server: Server, desk: KitDesk): void => {
  recordedRoutes(server, desk);
  bringingRoutes(server, desk);
  jobKitRoutes(server, desk);
};

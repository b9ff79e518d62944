import { z } from "zod";
import { identifierSchema, type Job } from "#calibration";
import {
  benchSchema,
  findInstrumentSchema,
  foundSchema,
  instrumentAtSchema,
  instrumentQuestionSchema,
  instrumentTrialSchema,
  jobBenchSchema,
  keepInstrumentSchema,
  keptInstrumentSchema,
  problemSchema,
  stillThereSchema,
  switchedOffSchema,
} from "#contract";
import { faultValue } from "#fault";
import type { Server } from "../http/server.ts";
import { streamValues } from "../live/value-stream.ts";
import type { BenchDesk } from "../desk/bench-desk.ts";

const named = z.object({ name: identifierSchema });

/** Asking instruments: what is there, what it says, what it reads. */
const askingRoutes = (server: Server, desk: BenchDesk): void => {
  server.route({
    method: "GET",
    url: "/api/bench",
    schema: {
      summary: "entries, serial ports, addresses of jobs, and the instruments that are kept",
      response: { 200: benchSchema },
    },
    handler: async () => desk.bench(),
  });
  server.route({
    method: "POST",
    url: "/api/bench/tries",
    schema: {
      summary: "asks an instrument what it is and reads it once; commands nothing",
      body: instrumentQuestionSchema,
      response: { 200: instrumentTrialSchema, 400: problemSchema, 409: problemSchema, 422: problemSchema },
    },
    handler: async (request) => desk.try(request.body),
  });
  server.route({
    method: "POST",
    url: "/api/bench/searches",
    schema: {
      summary: "asks on every serial port for an instrument of an entry",
      body: findInstrumentSchema,
      response: { 200: foundSchema, 400: problemSchema },
    },
    handler: async (request) => desk.find(request.body),
  });
  server.route({
    method: "POST",
    url: "/api/bench/live",
    schema: {
      summary: "live values of an instrument as JSON Lines, until the connection is closed",
      description:
        "A line a message: {kind: said} what it is, or why it does not say; {kind: values} every second or so; {kind: ended} is the last where it is not the reader who leaves. Nothing is commanded.",
      produces: ["application/jsonl"],
      body: instrumentQuestionSchema,
      response: { 400: problemSchema, 409: problemSchema },
    },
    handler: async (request, reply) => {
      const question = request.body;
      desk.refuse(question);
      for (const [name, value] of Object.entries(reply.getHeaders()))
        if (value !== undefined) reply.raw.setHeader(name, value);
      reply.hijack();
      await streamValues(reply.raw, async (reader) => {
        try {
          await desk.watch(question, reader);
        } catch (thrown) {
          // The headers have gone out: what came up meanwhile, a run for instance, is the last line.
          reader.say({ kind: "ended", why: faultValue(thrown).message });
        }
      });
    },
  });
  server.route({
    method: "POST",
    url: "/api/bench/switch-off",
    schema: {
      summary: "switches the output of a heat source off",
      body: instrumentAtSchema,
      response: { 200: switchedOffSchema, 400: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.switchOff(request.body),
  });
};

/** The instruments that are kept. */
const keepingRoutes = (server: Server, desk: BenchDesk): void => {
  server.route({
    method: "POST",
    url: "/api/bench/instruments",
    schema: {
      summary: "keeps an instrument that has answered",
      body: keepInstrumentSchema,
      response: { 201: keptInstrumentSchema, 400: problemSchema, 409: problemSchema },
    },
    handler: async (request, reply) => reply.code(201).send(await desk.keep(request.body)),
  });
  server.route({
    method: "DELETE",
    url: "/api/bench/instruments/:name",
    schema: {
      summary: "lets an instrument go; what was recorded of it stays",
      params: named,
      response: { 200: z.array(keptInstrumentSchema), 404: problemSchema },
    },
    handler: async (request) => desk.letGo(request.params.name),
  });
  server.route({
    method: "POST",
    url: "/api/bench/instruments/:name/check",
    schema: {
      summary: "whether a kept instrument still answers where it was",
      params: named,
      response: { 200: stillThereSchema, 404: problemSchema, 409: problemSchema },
    },
    handler: async (request) => desk.check(request.params.name),
  });
};

/** The instruments of a job, before it is begun. */
const jobBenchRoute = (server: Server, desk: BenchDesk, jobOf: (job: string) => Promise<Job>): void => {
  server.route({
    method: "POST",
    url: "/api/jobs/:job/bench",
    schema: {
      summary: "asks whether the instruments of a job are where it says; commands nothing",
      params: z.object({ job: identifierSchema }),
      response: { 200: jobBenchSchema, 404: problemSchema },
    },
    handler: async (request) => desk.ofJob(await jobOf(request.params.job)),
  });
};

/** Instruments outside runs: found, tried, watched, kept. */
export const benchRoutes = (server: Server, desk: BenchDesk, jobOf: (job: string) => Promise<Job>): void => {
  askingRoutes(server, desk);
  keepingRoutes(server, desk);
  jobBenchRoute(server, desk, jobOf);
};

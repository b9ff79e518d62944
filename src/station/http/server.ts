import fastifySwagger from "@fastify/swagger";
import fastify, {
  type FastifyBaseLogger,
  type FastifyInstance,
  type RawReplyDefaultExpression,
  type RawRequestDefaultExpression,
  type RawServerDefault,
} from "fastify";
import {
  createJsonSchemaTransform,
  serializerCompiler,
  validatorCompiler,
  type ZodTypeProvider,
} from "fastify-type-provider-zod";
import { z } from "zod";
import { guard } from "./guard.ts";
import { sendProblem } from "./problems.ts";

/** The HTTP server with its types from the message schemas. */
export type Server = FastifyInstance<
  RawServerDefault,
  RawRequestDefaultExpression,
  RawReplyDefaultExpression,
  FastifyBaseLogger,
  ZodTypeProvider
>;

const bodyLimit = 2 * 1024 * 1024;

/** Schemas that other rooms give as a check only stand in the document as what they are called. */
const transform = createJsonSchemaTransform({
  zodToJsonConfig: { unrepresentable: "any" },
});

/**
 * A server with checked messages, the one error shape, security headers and the API's description at `/api/openapi.json`.
 * `boundTo` is the address that it will listen on; names that lead elsewhere are refused.
 */
export const createServer = async (options: { version: string; boundTo: string; trace: boolean }): Promise<Server> => {
  const server = fastify({
    bodyLimit,
    logger: options.trace ? { level: "error" } : false,
    routerOptions: { maxParamLength: 128 },
    forceCloseConnections: true,
    requestTimeout: 30_000,
  }).withTypeProvider<ZodTypeProvider>();
  server.setValidatorCompiler(validatorCompiler);
  server.setSerializerCompiler(serializerCompiler);
  server.setErrorHandler(sendProblem);
  guard(server, options.boundTo);
  server.addContentTypeParser(
    ["text/plain", "application/yaml", "text/yaml"],
    { parseAs: "string" },
    (_request, body, done) => done(null, body),
  );
  // A body of any bytes is taken only by routes that say so, with a limit of their own.
  server.addContentTypeParser("application/octet-stream", { parseAs: "buffer" }, (_request, body, done) =>
    done(null, body),
  );
  await server.register(fastifySwagger, {
    openapi: {
      openapi: "3.1.0",
      info: {
        title: "Dwellpoint station",
        description:
          "Jobs, runs and certificates of a temperature calibration. Errors have one shape: {error:{code,message,data}}.",
        version: options.version,
      },
    },
    transform,
  });
  server.route({
    method: "GET",
    url: "/api/openapi.json",
    schema: { summary: "this description", response: { 200: z.record(z.string(), z.unknown()) } },
    handler: async () => ({ ...server.swagger() }),
  });
  return server;
};

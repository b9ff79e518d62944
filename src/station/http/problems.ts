import type { FastifyError, FastifyReply, FastifyRequest } from "fastify";
import { hasZodFastifySchemaValidationErrors } from "fastify-type-provider-zod";
import { Fault, faultValue, type FaultCode, type FaultValue } from "#fault";

/** HTTP status of each fault that can leave by the API; what is not named is a request that cannot be done as it is. */
const statusOf: Partial<Record<FaultCode, number>> = {
  "input.malformed": 400,
  "input.invalid": 400,
  "station.foreign-request": 403,
  "records.not-found": 404,
  "records.conflict": 409,
  "run.not-allowed": 409,
  "kit.another-probe": 409,
  "records.busy": 503,
  "records.read-only": 507,
  "instrument.unreachable": 502,
  "instrument.timeout": 502,
  "instrument.garbled": 502,
  "instrument.closed": 502,
  "instrument.reported": 502,
  internal: 500,
};

/** What the framework itself refuses, in our words. */
const frameworkFault = (error: FastifyError): FaultValue | null => {
  if (error.code === "FST_ERR_CTP_BODY_TOO_LARGE") {
    return {
      code: "input.malformed",
      message:
        "This is more than the station takes at once: a job file is a few kilobytes, a file of readings 16 MiB at most. Send only that, or divide it.",
    };
  }
  if (error.code === "FST_ERR_CTP_INVALID_MEDIA_TYPE") {
    return {
      code: "input.malformed",
      message:
        "The station cannot read this kind of content. Send JSON as application/json, or a job file as text/plain.",
    };
  }
  if (
    error.code === "FST_ERR_CTP_EMPTY_JSON_BODY" ||
    error.code === "FST_ERR_CTP_INVALID_JSON_BODY" ||
    error instanceof SyntaxError
  ) {
    return {
      code: "input.malformed",
      message: "The request's body is not JSON. Check its brackets, commas and quotation marks.",
    };
  }
  return null;
};

/** Any error thrown in a route as the one error shape; the status follows the code. */
export const sendProblem = (error: unknown, request: FastifyRequest, reply: FastifyReply): FastifyReply => {
  if (hasZodFastifySchemaValidationErrors(error)) {
    const fields = error.validation.map((entry) => ({
      line: null,
      column: null,
      path: entry.instancePath.replace(/^\//, "").replaceAll("/", "."),
      message: entry.message ?? "cannot be used",
    }));
    const first = fields[0];
    const where = first === undefined || first.path === "" ? "" : `"${first.path}": `;
    const value: FaultValue = {
      code: "input.invalid",
      message: `The request cannot be used. ${where}${first?.message ?? ""}`.trim(),
      data: { fields },
    };
    return reply.code(400).send({ error: value });
  }
  const framework = error instanceof Error && !(error instanceof Fault) ? frameworkFault(error as FastifyError) : null;
  if (framework !== null) {
    const status = (error as FastifyError).statusCode ?? 400;
    return reply.code(status).send({ error: framework });
  }
  const value = faultValue(error);
  if (value.code === "internal") request.log.error(error);
  return reply.code(statusOf[value.code] ?? 422).send({ error: value });
};

/** The answer where no route is. */
export const sendNoSuchPath = (request: FastifyRequest, reply: FastifyReply): FastifyReply => {
  const path = request.url.split("?")[0] ?? request.url;
  return reply.code(404).send({
    error: {
      code: "records.not-found",
      message: `The station has nothing at ${request.method} ${path}. What it has is listed at /api/openapi.json.`,
    },
  });
};

import { z } from "zod";
import { identifierSchema } from "#calibration";
import { certificateSummarySchema, problemSchema } from "#contract";
import { sendFile } from "../http/downloads.ts";
import type { Server } from "../http/server.ts";
import type { Desk } from "./desk.ts";

const numberParameter = z.object({ number: identifierSchema });

/** Issued certificates and their files, as they were issued. */
export const certificateRoutes = (server: Server, desk: Desk): void => {
  server.route({
    method: "GET",
    url: "/api/certificates",
    schema: { summary: "issued certificates, the newest first", response: { 200: z.array(certificateSummarySchema) } },
    handler: async () => desk.certificates(),
  });
  server.route({
    method: "GET",
    url: "/api/certificates/:number.pdf",
    schema: {
      summary: "a certificate as PDF/A-3 with its XML attached",
      produces: ["application/pdf"],
      params: numberParameter,
      response: { 404: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, {
        ...(await desk.certificatePdf(request.params.number)),
        type: "application/pdf",
        disposition: "inline",
      }),
  });
  server.route({
    method: "GET",
    url: "/api/certificates/:number.xml",
    schema: {
      summary: "a certificate as XML for programs",
      produces: ["application/xml"],
      params: numberParameter,
      response: { 404: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, {
        ...(await desk.certificateXml(request.params.number)),
        type: "application/xml; charset=utf-8",
        disposition: "attachment",
      }),
  });
};

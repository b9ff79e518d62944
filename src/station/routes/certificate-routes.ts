import { z } from "zod";
import { identifierSchema } from "#calibration";
import {
  amendSchema,
  certificateDetailSchema,
  certificateSummarySchema,
  laboratoryPicturesSchema,
  problemSchema,
  withdrawSchema,
} from "#contract";
import { Fault } from "#fault";
import type { IssuedDesk } from "../desk/issued-desk.ts";
import type { PictureDesk } from "../desk/laboratory-pictures.ts";
import { sendFile } from "../http/downloads.ts";
import type { Server } from "../http/server.ts";

const numberParameter = z.object({ number: identifierSchema });
const labelParameter = z.object({ number: identifierSchema, item: identifierSchema });
const pictureParameter = z.object({ which: z.enum(["logo", "symbol"]) });
const as = z.object({
  as: z.enum(["now", "issued"]).default("now").describe("now: with what became of it; issued: the very bytes of then"),
});
const refusals = { 404: problemSchema, 409: problemSchema, 422: problemSchema };

/** What becomes of a certificate: amended, withdrawn. */
const fateRoutes = (server: Server, desk: IssuedDesk): void => {
  server.route({
    method: "POST",
    url: "/api/certificates/:number/amendment",
    schema: {
      summary: "issues a certificate in the place of this one, which is kept",
      params: numberParameter,
      body: amendSchema,
      response: { 201: certificateSummarySchema, ...refusals },
    },
    handler: async (request, reply) => reply.code(201).send(await desk.amend(request.params.number, request.body)),
  });
  server.route({
    method: "POST",
    url: "/api/certificates/:number/withdrawal",
    schema: {
      summary: "says that a certificate holds no longer",
      params: numberParameter,
      body: withdrawSchema,
      response: { 200: certificateSummarySchema, ...refusals },
    },
    handler: async (request) => desk.withdraw(request.params.number, request.body),
  });
};

/** Files of issued certificates. */
const fileRoutes = (server: Server, desk: IssuedDesk): void => {
  server.route({
    method: "GET",
    url: "/api/certificates/:number.pdf",
    schema: {
      summary: "a certificate as PDF/A-3 with its XML attached; one that holds no longer says so",
      produces: ["application/pdf"],
      params: numberParameter,
      querystring: as,
      response: { 404: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, {
        ...(await desk.pdf(request.params.number, request.query.as)),
        type: "application/pdf",
        disposition: "inline",
      }),
  });
  server.route({
    method: "GET",
    url: "/api/certificates/:number.xml",
    schema: {
      summary: "a certificate as XML for programs, as it was issued",
      produces: ["application/xml"],
      params: numberParameter,
      response: { 404: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, {
        ...(await desk.xml(request.params.number)),
        type: "application/xml; charset=utf-8",
        disposition: "attachment",
      }),
  });
  server.route({
    method: "GET",
    url: "/api/certificates/:number/labels/:item.pdf",
    schema: {
      summary: "a label for an item of a certificate that holds",
      produces: ["application/pdf"],
      params: labelParameter,
      response: { 404: problemSchema, 409: problemSchema },
    },
    handler: async (request, reply) =>
      sendFile(reply, {
        ...(await desk.label(request.params.number, request.params.item)),
        type: "application/pdf",
        disposition: "inline",
      }),
  });
};

/** Logo and accreditation symbol of the laboratory. */
const pictureRoutes = (server: Server, desk: PictureDesk): void => {
  server.route({
    method: "GET",
    url: "/api/laboratory/pictures",
    schema: { summary: "the laboratory's pictures on its certificates", response: { 200: laboratoryPicturesSchema } },
    handler: () => desk.answer(),
  });
  server.route({
    method: "PUT",
    url: "/api/laboratory/pictures/:which",
    schema: {
      summary: "keeps a picture, PNG or SVG, for the certificates to come",
      consumes: ["application/octet-stream"],
      params: pictureParameter,
      response: { 200: laboratoryPicturesSchema, 400: problemSchema },
    },
    handler: (request) => {
      const { body } = request as { body: unknown };
      if (!(body instanceof Uint8Array))
        throw new Fault(
          "input.malformed",
          "Send the picture as bytes, with the content type application/octet-stream.",
        );
      return desk.keep(request.params.which, body);
    },
  });
  server.route({
    method: "DELETE",
    url: "/api/laboratory/pictures/:which",
    schema: {
      summary: "takes a picture away from the certificates to come",
      params: pictureParameter,
      response: { 200: laboratoryPicturesSchema },
    },
    handler: (request) => desk.takeAway(request.params.which),
  });
};

/** Issued certificates: their list, their files, and what becomes of them. */
export const certificateRoutes = (server: Server, desk: IssuedDesk, pictures: PictureDesk): void => {
  server.route({
    method: "GET",
    url: "/api/certificates",
    schema: { summary: "issued certificates, the newest first", response: { 200: z.array(certificateSummarySchema) } },
    handler: () => desk.list(),
  });
  server.route({
    method: "GET",
    url: "/api/certificates/:number",
    schema: {
      summary: "a certificate, with the texts on it that can be put right",
      params: numberParameter,
      response: { 200: certificateDetailSchema, 404: problemSchema },
    },
    handler: (request) => desk.detail(request.params.number),
  });
  fileRoutes(server, desk);
  fateRoutes(server, desk);
  pictureRoutes(server, pictures);
};

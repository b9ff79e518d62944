import type { FastifyReply } from "fastify";

/** A file name that every system takes: letters, digits, dots, dashes and underscores. */
export const fileName = (stem: string, ending: string): string =>
  `${stem.replaceAll(/[^A-Za-z0-9._-]+/g, "-").replaceAll(/^[-.]+|[-.]+$/g, "") || "file"}.${ending}`;

/**
 * Sends bytes as a file: `inline` is shown in the page, `attachment` is saved.
 * The pages' content policy is left out here but for who may frame it: a browser's own document viewer needs scripts and
 * styles of its own.
 */
export const sendFile = (
  reply: FastifyReply,
  file: { bytes: Uint8Array; type: string; name: string; disposition: "inline" | "attachment" },
): FastifyReply =>
  reply
    .header("content-security-policy", "frame-ancestors 'self'")
    .header("content-disposition", `${file.disposition}; filename="${file.name}"`)
    .header("cache-control", "no-store")
    .type(file.type)
    .send(Buffer.from(file.bytes.buffer, file.bytes.byteOffset, file.bytes.byteLength));

import { z } from "zod";

/** Languages in which a certificate can be written. */
export const certificateLanguages = ["en", "de", "es", "fr"] as const;

/** Texts that an amended certificate may put right; see `correctionSchema`. */
export const correctedTexts = [
  "laboratory.name",
  "laboratory.address",
  "laboratory.contact",
  "customer.name",
  "customer.address",
  "customer.contact",
  "place",
  "title",
  "remarks",
  "item.tag",
  "item.serial",
  "item.description",
  "item.model",
  "item.place",
  "item.condition",
  "item.received",
] as const;

const name = z.string().trim().min(1).max(120);
const reason = z.string().trim().min(1).max(500);

const termsSchema = z.object({
  languages: z
    .array(z.enum(certificateLanguages))
    .min(1)
    .max(certificateLanguages.length)
    .optional()
    .describe("languages of the certificate; the first holds where they differ"),
  interval: z
    .object({ due: z.iso.date(), agreedWith: name })
    .optional()
    .describe("next calibration, only where the customer agreed to it"),
  withoutRemarks: z.boolean().optional().describe("leaves the job's remarks off the certificate"),
});

export const issueSchema = termsSchema.extend({ authorisedBy: name });

export const correctionSchema = z.object({
  field: z.enum(correctedTexts),
  item: z.string().optional().describe("item of the job, for the fields that begin with item"),
  value: z.string().max(2000).describe("the text as it should stand; an address has one line a line"),
});

export const amendSchema = termsSchema.extend({
  authorisedBy: name,
  reason,
  corrections: z.array(correctionSchema).max(100),
});

export const withdrawSchema = z.object({ by: name, reason });

export const certificateSummarySchema = z.object({
  number: z.string(),
  run: z.string(),
  job: z.string(),
  title: z.string(),
  customer: z.string(),
  items: z.array(z.object({ item: z.string(), tag: z.string() })),
  tags: z.array(z.string()),
  issued: z.string(),
  authorisedBy: z.string(),
  rehearsal: z.boolean(),
  decision: z.enum(["pass", "conditional-pass", "undecided", "conditional-fail", "fail"]).nullable(),
  languages: z.array(z.enum(certificateLanguages)),
  amends: z.object({ number: z.string(), reason: z.string() }).nullable(),
  replacedBy: z.string().nullable(),
  withdrawn: z.object({ at: z.string(), by: z.string(), reason: z.string() }).nullable(),
});

/** One certificate with the texts on it that can be put right. */
export const certificateDetailSchema = certificateSummarySchema.extend({
  texts: z.array(
    z.object({
      field: z.enum(correctedTexts),
      item: z.string().optional(),
      tag: z.string().optional().describe("of the item, for people"),
      value: z.string(),
    }),
  ),
});

const pictureSchema = z.object({ type: z.enum(["png", "svg"]), size: z.int().describe("bytes") });

/** Pictures of the laboratory's own that its certificates carry. */
export const laboratoryPicturesSchema = z.object({ logo: pictureSchema.nullable(), symbol: pictureSchema.nullable() });

export type CertificateLanguage = (typeof certificateLanguages)[number];
export type CertificateSummary = z.infer<typeof certificateSummarySchema>;
export type CertificateDetail = z.infer<typeof certificateDetailSchema>;
export type Issue = z.infer<typeof issueSchema>;
export type Amend = z.infer<typeof amendSchema>;
export type Withdraw = z.infer<typeof withdrawSchema>;
export type CorrectedText = z.infer<typeof correctionSchema>;
export type LaboratoryPicturesAnswer = z.infer<typeof laboratoryPicturesSchema>;

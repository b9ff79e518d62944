import { z } from "zod";
import { characterisationSchema } from "./characterisation.ts";
import { pullTestSchema } from "./pull-test.ts";
import { referenceCheckSchema } from "./reference-check.ts";
import { selfHeatingSchema } from "./self-heating.ts";

/** Any document of upkeep: what was read, with the kit entry as it stood. Evaluated from itself alone. */
export const upkeepDocumentSchema = z.discriminatedUnion("kind", [
  characterisationSchema,
  pullTestSchema,
  selfHeatingSchema,
  referenceCheckSchema,
]);

export type UpkeepDocument = z.infer<typeof upkeepDocumentSchema>;
export type UpkeepDocumentInput = z.input<typeof upkeepDocumentSchema>;
export const upkeepKinds = ["characterisation", "pull-test", "self-heating", "reference-check"] as const;
export type UpkeepKind = (typeof upkeepKinds)[number];

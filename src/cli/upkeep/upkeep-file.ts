import { basename } from "node:path";
import { z } from "zod";
import { simulationSchema } from "#bench";
import { benchSchema, referenceSchema, sourceSchema } from "#calibration";
import { unwrap } from "#fault";
import { loadDocument, type JsonSchema, writtenSchema } from "#intake";
import { upkeepDocumentSchema, upkeepPlanSchema, type UpkeepDocument } from "#upkeep";
import { readNamedFile } from "../run/read-job.ts";

/** A procedure with the bench on which it is carried out; its channels are fixed, moved and control, or reference and fixed. */
const procedureFileSchema = z.strictObject({
  test: upkeepPlanSchema,
  bench: benchSchema.extend({ simulation: simulationSchema.optional() }).optional(),
});
export type ProcedureFile = z.infer<typeof procedureFileSchema>;
export type UpkeepBench = NonNullable<ProcedureFile["bench"]>;

/** A kit, or a job that has one: the entries that a procedure can be planned for. */
const kitEntries = z.looseObject({ source: sourceSchema.optional(), reference: referenceSchema.optional() });
const entryFileSchema = z.union([z.looseObject({ kit: kitEntries }).transform(({ kit }) => kit), kitEntries]);

const load = async <S extends z.ZodType>(path: string, what: string, schema: S): Promise<z.output<S>> =>
  unwrap(loadDocument(await readNamedFile(path, what), basename(path), schema, { code: "input.invalid" }));

/** A document of upkeep. @throws Fault `input.invalid` with every wrong field and its line; so do the others */
export const readUpkeepDocument = (path: string): Promise<UpkeepDocument> =>
  load(path, "document", upkeepDocumentSchema);

export const readProcedure = (path: string): Promise<ProcedureFile> => load(path, "procedure", procedureFileSchema);

export const readEntries = (path: string): Promise<z.infer<typeof kitEntries>> =>
  load(path, "kit file", entryFileSchema);

/** The JSON schema of a document, for editors. */
export const upkeepDocumentJsonSchema = (): JsonSchema =>
  writtenSchema(
    upkeepDocumentSchema,
    "Upkeep document",
    "What was read in a test of the kit. Temperatures in °C, differences in K, lengths in mm, times in s, currents in mA.",
  );

/** The JSON schema of a procedure with its bench, for editors. */
export const upkeepProcedureJsonSchema = (): JsonSchema =>
  writtenSchema(
    procedureFileSchema,
    "Upkeep procedure",
    "A test of the kit to be carried out, and its bench. Temperatures in °C, differences in K, lengths in mm, times in s.",
  );

import { z } from "zod";
import { signalUnits } from "#quantity";
import { commonFields, inputsSchema, paceFields, readingFields } from "./entry-fields.ts";
import { registerCodingSchema } from "./register-value.ts";
import { registerTransports } from "./transport.ts";

/**
 * Addresses are those of the protocol, from 0 (Modbus application protocol, 4.3, from memory): a table that calls its first holding
 * register 40001 means address 0, and 30001 is address 0 of the input registers.
 */
const address = z.int().min(0).max(65_535).describe("address in the protocol, counted from 0");

const registerPlace = { table: z.enum(["holding", "input"]), address };

const readRegister = z
  .strictObject({
    ...registerPlace,
    ...registerCodingSchema,
    ...readingFields,
    inputs: inputsSchema.default({ first: 1, last: 1 }),
    stride: z.int().min(1).max(1000).optional().describe("registers from one input to the next"),
  })
  .refine((value) => value.inputs.first === value.inputs.last || value.stride !== undefined, {
    error: "with more than one input say the stride: registers from one input to the next",
  });

const valueRegister = z
  .strictObject({
    address: address.describe("holding register, counted from 0"),
    ...registerCodingSchema,
    minimum: z.number(),
    maximum: z.number(),
    within: z.number().nonnegative().describe("largest difference between what was sent and what is read back"),
    readBack: z
      .strictObject({ ...registerPlace })
      .optional()
      .describe("where it is read back; the same register where it is left out"),
  })
  .refine((value) => value.minimum < value.maximum, { error: "minimum must be less than maximum" });

const switchPlace = z.discriminatedUnion("table", [
  z.strictObject({ table: z.literal("coil"), address }),
  z
    .strictObject({
      table: z.literal("holding"),
      address,
      on: z.int().min(0).max(65_535).default(1),
      off: z.int().min(0).max(65_535).default(0),
    })
    .refine((value) => value.on !== value.off, { error: "on and off must differ" }),
]);

/** An instrument whose figures lie in Modbus registers. */
export const registerEntryFields = z.strictObject({
  ...commonFields,
  ...paceFields,
  dialogue: z.literal("registers"),
  role: z.enum(["readout", "source"]),
  transport: registerTransports,
  identify: z
    .discriminatedUnion("by", [
      z.strictObject({
        by: z.literal("device-identification"),
        expect: z.string().min(1).optional().describe("text that the answer must hold, capitals or not"),
      }),
      z.strictObject({
        by: z.literal("register"),
        ...registerPlace,
        expect: z.int().min(0).max(65_535).describe("what this register holds in such an instrument"),
      }),
      z.strictObject({ by: z.literal("nothing") }),
    ])
    .default({ by: "nothing" })
    .describe("how it says what it is: Modbus function 43/14, a register with a known number, or not at all"),
  read: z.partialRecord(z.enum(signalUnits), readRegister).default({}),
  setPoint: valueRegister.optional().describe("commanding a temperature in °C"),
  output: switchPlace.optional().describe("switching the heat source's output"),
});

export type RegisterEntry = z.infer<typeof registerEntryFields>;
export type ReadRegister = z.infer<typeof readRegister>;

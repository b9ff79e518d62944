import type { Trouble } from "./trouble.ts";

export type RegisterTable = "holding" | "input";

/** An answer, or why there is none. */
export type Exchanged<T> = { readonly kind: "answer"; readonly value: T } | Trouble;

/**
 * Questions and answers of the Modbus application protocol to one unit, whatever carries them: the port between an
 * instrument's meaning and its bus. `timeout` in s. Several instruments may share a bus; it asks one at a time.
 */
export interface RegisterLink {
  /** `count` registers from `address` on, each 0 to 65,535 (functions 03 and 04). */
  read(table: RegisterTable, address: number, count: number, timeout: number): Promise<Exchanged<readonly number[]>>;
  /** One register by function 06, several by 16. */
  write(address: number, words: readonly number[], timeout: number): Promise<Exchanged<null>>;
  readCoil(address: number, timeout: number): Promise<Exchanged<boolean>>;
  writeCoil(address: number, on: boolean, timeout: number): Promise<Exchanged<null>>;
  /** Vendor, product code and revision (function 43/14, basic). */
  identification(timeout: number): Promise<Exchanged<string>>;
  close(): Promise<void>;
}

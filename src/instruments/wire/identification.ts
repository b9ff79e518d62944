/** The four fields of the answer to `*IDN?` (IEEE 488.2 10.14.3). A field that the instrument does not know is "0". */
export interface Identification {
  readonly maker: string;
  readonly model: string;
  readonly serial: string;
  readonly firmware: string;
  /** The whole answer as it came. */
  readonly text: string;
}

/** Four fields with commas between; printable characters only. The last may hold further commas. Null for anything else. */
export const parseIdentification = (line: string): Identification | null => {
  const text = line.trim();
  const fields = text.split(",");
  if (fields.length < 4 || !/^[\x20-\x7e]+$/.test(text)) return null;
  const [maker, model, serial, ...firmware] = fields.map((field) => field.trim());
  if (maker === "" || model === "") return null;
  return { maker: maker!, model: model!, serial: serial!, firmware: firmware.join(","), text };
};

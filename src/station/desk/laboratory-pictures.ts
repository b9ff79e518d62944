import { pictureFile, type LaboratoryPictures, type PictureFile } from "#certificates";
import type { LaboratoryPicturesAnswer } from "#contract";
import { unwrap } from "#fault";
import type { Records } from "#records";

export type PictureName = "logo" | "symbol";

const setting = (name: PictureName): string => `laboratory-${name}`;

/** Logo and accreditation symbol of the laboratory, kept with the station and set on the certificates that it issues. */
export class PictureDesk {
  readonly #records: Records;

  constructor(records: Records) {
    this.#records = records;
  }

  async all(): Promise<LaboratoryPictures> {
    return { logo: await this.#picture("logo"), symbol: await this.#picture("symbol") };
  }

  async answer(): Promise<LaboratoryPicturesAnswer> {
    const told = (picture: PictureFile | undefined): LaboratoryPicturesAnswer["logo"] =>
      picture === undefined ? null : { type: picture.type, size: picture.bytes.length };
    const { logo, symbol } = await this.all();
    return { logo: told(logo), symbol: told(symbol) };
  }

  /** Throws `input.invalid` where the bytes are no picture that a certificate may carry. */
  async keep(name: PictureName, bytes: Uint8Array): Promise<LaboratoryPicturesAnswer> {
    const picture = unwrap(pictureFile(bytes));
    await this.#records.writeSetting(setting(name), Buffer.from(picture.bytes).toString("base64"));
    return this.answer();
  }

  async takeAway(name: PictureName): Promise<LaboratoryPicturesAnswer> {
    await this.#records.writeSetting(setting(name), null);
    return this.answer();
  }

  async #picture(name: PictureName): Promise<PictureFile | undefined> {
    const kept = await this.#records.readSetting(setting(name));
    if (typeof kept !== "string") return undefined;
    return unwrap(pictureFile(Buffer.from(kept, "base64")));
  }
}

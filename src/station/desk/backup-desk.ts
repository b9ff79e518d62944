import { readdir, rm } from "node:fs/promises";
import { isAbsolute, join } from "node:path";
import {
  backupSettingSchema,
  type BackupMade,
  type BackupSetting,
  type BackupState,
  type ChosenBackup,
} from "#contract";
import { Fault } from "#fault";
import type { Records } from "#records";

const settingName = "backup";

const hour = 3_600_000;

/** How long a timer is set at most, ms: a machine that slept looks at its clock again soon after. */
const longestTimer = hour / 4;

const stamp = (at: Date): string => at.toISOString().slice(0, 19).replaceAll(/[-:]/g, "");

const stampTime = (text: string): number =>
  Date.parse(text.replace(/^(\d{4})(\d{2})(\d{2})T(\d{2})(\d{2})(\d{2})$/, "$1-$2-$3T$4:$5:$6Z"));

/** Backups of the station: when somebody asks for one, and by themselves as often as is set. */
export class BackupDesk {
  readonly #records: Records;
  readonly #now: () => Date;
  #last: BackupMade | null = null;
  #trouble: BackupState["trouble"] = null;
  #next: number | null = null;
  #timer: NodeJS.Timeout | null = null;
  #making: Promise<BackupMade> | null = null;
  #closed = false;

  constructor({ records, now }: { readonly records: Records; readonly now: () => Date }) {
    this.#records = records;
    this.#now = now;
  }

  /** Begins to keep the schedule, where there is one: from the newest backup that lies in its folder. */
  async start(): Promise<void> {
    const setting = await this.#setting();
    if (setting === null || setting.everyHours === 0 || this.#closed) return;
    const newest = (await this.#own(setting.folder).catch(() => [])).at(-1);
    this.#next = newest === undefined ? this.#now().getTime() : newest.at + setting.everyHours * hour;
    this.#wait();
  }

  async state(): Promise<BackupState> {
    const setting = await this.#setting();
    const next = this.#next === null ? null : new Date(this.#next).toISOString();
    return { setting, last: this.#last, next, trouble: this.#trouble };
  }

  /** Takes another setting; its schedule begins at once. */
  async set({ by, ...setting }: ChosenBackup): Promise<BackupState> {
    if (!isAbsolute(setting.folder))
      throw new Fault("input.invalid", `The folder for backups must be a whole path, not "${setting.folder}".`, {
        data: { folder: setting.folder },
      });
    await this.#records.writeSetting(settingName, setting, by);
    this.#stop();
    this.#next = null;
    await this.start();
    return this.state();
  }

  /** A backup now. Whoever asks while one is made gets that one. */
  make(): Promise<BackupMade> {
    this.#making ??= this.#make().finally(() => {
      this.#making = null;
    });
    return this.#making;
  }

  async close(): Promise<void> {
    this.#closed = true;
    this.#stop();
    await this.#making?.catch(() => undefined);
  }

  async #make(): Promise<BackupMade> {
    const setting = await this.#setting();
    if (setting === null)
      throw new Fault(
        "run.not-allowed",
        "It is not set where backups go. Set a folder for them first, on another disk.",
      );
    const at = this.#now();
    try {
      const file = join(setting.folder, `dwellpoint-${await this.#records.station()}-${stamp(at)}.sqlite`);
      const { bytes, entries, head } = await this.#records.backup(file);
      this.#last = { file, at: at.toISOString(), bytes, entries, head };
      this.#trouble = null;
      const own = await this.#own(setting.folder);
      for (const { name } of own.slice(0, Math.max(0, own.length - setting.keep)))
        for (const each of [name, `${name}.sha256`]) await rm(join(setting.folder, each), { force: true });
      return this.#last;
    } catch (thrown) {
      this.#trouble = { at: at.toISOString(), message: thrown instanceof Error ? thrown.message : String(thrown) };
      throw thrown;
    }
  }

  async #setting(): Promise<BackupSetting | null> {
    const read = backupSettingSchema.safeParse(await this.#records.readSetting(settingName));
    return read.success ? read.data : null;
  }

  /** The backups of this station in a folder, the oldest first; nothing else there is looked at. */
  async #own(folder: string): Promise<readonly { readonly name: string; readonly at: number }[]> {
    const pattern = new RegExp(`^dwellpoint-${await this.#records.station()}-(\\d{8}T\\d{6})\\.sqlite$`);
    return (await readdir(folder))
      .flatMap((name) => {
        const text = pattern.exec(name)?.[1];
        return text === undefined ? [] : [{ name, at: stampTime(text) }];
      })
      .toSorted((one, other) => one.at - other.at);
  }

  #wait(): void {
    if (this.#next === null || this.#closed) return;
    const left = Math.max(0, this.#next - this.#now().getTime());
    this.#timer = setTimeout(() => void this.#due(), Math.min(left, longestTimer));
    this.#timer.unref();
  }

  async #due(): Promise<void> {
    const now = this.#now().getTime();
    if (this.#next !== null && now >= this.#next) {
      const setting = await this.#setting();
      // What went wrong stands in the state; it is tried again when the next is due, an hour later at most.
      const made = await this.make().catch(() => null);
      const hours = setting?.everyHours ?? 0;
      this.#next = hours === 0 ? null : now + (made === null ? Math.min(1, hours) : hours) * hour;
    }
    this.#wait();
  }

  #stop(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
  }
}

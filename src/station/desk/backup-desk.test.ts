import { mkdtemp, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { checkPlace, openRecords, type Records } from "#records";
import { BackupDesk } from "./backup-desk.ts";

let folder: string;
let records: Records;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "dwellpoint-backup-"));
  records = await openRecords(join(folder, "data"));
});

afterEach(async () => {
  await records.close();
  await rm(folder, { recursive: true });
});

const until = async (holds: () => Promise<boolean>): Promise<void> => {
  const end = performance.now() + 20_000;
  while (!(await holds())) {
    if (performance.now() > end) throw new Error("It did not come to pass in 20 s.");
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
};

const databases = async (place: string): Promise<string[]> =>
  (await readdir(place).catch(() => [])).filter((name) => name.endsWith(".sqlite")).toSorted();

it("makes one when asked, which holds, and keeps as many of its own as is set [R24]", async () => {
  let now = new Date("2026-11-25T08:00:00Z");
  const desk = new BackupDesk({ records, now: () => now });
  const kept = join(folder, "kept");
  await expect(desk.make()).rejects.toMatchObject({ code: "run.not-allowed" });
  expect(await desk.state()).toEqual({ setting: null, last: null, next: null, trouble: null });
  await expect(desk.set({ folder: "kept", everyHours: 0, keep: 2 })).rejects.toMatchObject({ code: "input.invalid" });
  await desk.set({ folder: kept, everyHours: 0, keep: 2, by: "Idris Farrowby (demo)" });
  const made = [];
  for (const minute of [1, 2, 3]) {
    now = new Date(`2026-11-25T08:0${minute}:00Z`);
    made.push(await desk.make());
    if (minute === 1) await writeFile(join(kept, "dwellpoint-other-20200101T000000.sqlite"), "of somebody else");
  }
  expect(await databases(kept)).toEqual(
    [
      ...made.slice(1).map(({ file }) => file.slice(kept.length + 1)),
      "dwellpoint-other-20200101T000000.sqlite",
    ].toSorted(),
  );
  expect(await desk.state()).toMatchObject({ last: made[2], trouble: null, next: null });
  expect(await checkPlace(made[2]!.file, "backup")).toMatchObject({ holds: true, remarks: [], head: made[2]!.head });
  await desk.close();
});

it("makes them by its schedule, also after a start, and says what went wrong [R24]", async () => {
  const desk = new BackupDesk({ records, now: () => new Date() });
  const kept = join(folder, "kept");
  // A second: names tell seconds apart.
  await desk.set({ folder: kept, everyHours: 1 / 3600, keep: 5 });
  await until(async () => (await databases(kept)).length >= 2);
  await desk.close();
  const before = (await databases(kept)).length;
  const again = new BackupDesk({ records, now: () => new Date() });
  await again.start();
  await until(async () => (await databases(kept)).length > before);
  await writeFile(join(folder, "a-file"), "");
  await again.set({ folder: join(folder, "a-file"), everyHours: 1 / 3600, keep: 5 });
  await until(async () => (await again.state()).trouble !== null);
  expect((await again.state()).trouble?.message).toMatch(/cannot be written/);
  await again.close();
}, 60_000);

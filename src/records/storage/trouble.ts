import { Fault } from "#fault";

const codeOf = (thrown: unknown): string =>
  thrown instanceof Error && "code" in thrown && typeof thrown.code === "string" ? thrown.code : "";

/** Codes of the operating system and of SQLite, sorted by what a person can do about them. */
const kinds: readonly (readonly [RegExp, "full" | "closed" | "busy" | "damaged"])[] = [
  [/^(ENOSPC|EDQUOT|EFBIG|SQLITE_FULL)$/, "full"],
  [
    /^(EACCES|EPERM|EROFS|EEXIST|ENOTDIR|ENOENT|EISDIR|EIO|ENXIO|ENODEV|SQLITE_(READONLY|CANTOPEN|IOERR|PERM|AUTH)(_.*)?)$/,
    "closed",
  ],
  [/^(EBUSY|SQLITE_(BUSY|LOCKED)(_.*)?)$/, "busy"],
  [/^SQLITE_(CORRUPT|NOTADB)(_.*)?$/, "damaged"],
];

/**
 * A failure of disk or database as a fault with a sentence that says what to do. `place` is the folder or file as the user
 * knows it. What is neither disk nor database is handed back as it is.
 */
export const storageFault = (thrown: unknown, place: string): unknown => {
  if (thrown instanceof Fault) return thrown;
  const code = codeOf(thrown);
  const kind = kinds.find(([pattern]) => pattern.test(code))?.[1];
  const options = { data: { place, reason: code }, cause: thrown };
  switch (kind) {
    case "full":
      return new Fault(
        "records.read-only",
        `There is no room left to write ${place} (${code}). Nothing of this step was recorded; what was recorded before is safe. Make room on the disk, then go on.`,
        options,
      );
    case "closed":
      return new Fault(
        "records.read-only",
        `${place} cannot be written (${code}). Nothing of this step was recorded. Choose a folder on a disk that can be written, or give this user the right to write there.`,
        options,
      );
    case "busy":
      return new Fault(
        "records.busy",
        `${place} is in use by another program (${code}). Nothing of this step was recorded. Close the other program, then go on.`,
        options,
      );
    case "damaged":
      return new Fault(
        "records.damaged",
        `${place} is damaged, or is not a file of records (${code}). Leave it as it is, and restore the last good copy into another folder.`,
        options,
      );
    default:
      return thrown;
  }
};

/** Runs something that touches the disk; its failures come out as faults. */
export const guarded = async <T>(place: string, act: () => Promise<T>): Promise<T> => {
  try {
    return await act();
  } catch (thrown) {
    throw storageFault(thrown, place);
  }
};

/** Text as it is searched: small letters, accents off, so that "Böhme" is found by "bohme". */
export const searchable = (text: string): string => text.normalize("NFD").replaceAll(/\p{M}/gu, "").toLowerCase();

/** What was asked for, word by word. */
export const searchWords = (asked: string): string[] =>
  searchable(asked)
    .split(/\s+/)
    .filter((word) => word !== "")
    .slice(0, 12);

/** The words as a question to the index of three letters: each must occur, as it is. */
export const indexQuery = (words: readonly string[]): string =>
  words.map((word) => `"${word.replaceAll('"', '""')}"`).join(" AND ");

/** Shorter words than this are not in the index. */
export const shortestIndexed = 3;

/** A pattern for LIKE with `\` as escape that finds the word anywhere. */
export const anywhere = (word: string): string => `%${word.replaceAll(/[\\%_]/g, (sign) => `\\${sign}`)}%`;

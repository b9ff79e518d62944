import type { Language } from "./model.ts";
import { settingWith, type Setting } from "./setting.ts";
import { english } from "./words/english.ts";
import { french } from "./words/french.ts";
import { german } from "./words/german.ts";
import { spanish } from "./words/spanish.ts";
import type { Words } from "./words/words.ts";

/** What a certificate is written with: the words of a language, and how it sets numbers. */
export interface Writing {
  readonly language: Language;
  readonly words: Words;
  readonly set: Setting;
}

/** One table of words for each language: a language without its words does not compile. */
const tables: Readonly<Record<Language, { readonly words: Words; readonly set: Setting }>> = {
  en: { words: english, set: settingWith(".") },
  de: { words: german, set: settingWith(",") },
  es: { words: spanish, set: settingWith(",") },
  fr: { words: french, set: settingWith(",") },
};

export const writingIn = (language: Language): Writing => ({ language, ...tables[language] });

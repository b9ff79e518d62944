import type { CertificateLanguage } from "#contract";

/** The languages of certificates, as a person at the station calls them. */
export const languageNames: Readonly<Record<CertificateLanguage, string>> = {
  en: "English",
  de: "German",
  es: "Spanish",
  fr: "French",
};

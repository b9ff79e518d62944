export { certificateDocument, type DocumentInput } from "./document/certificate-document.ts";
export { checkBeforeIssue } from "./document/check-before-issue.ts";
export type {
  CertificateDocument,
  Finding,
  IssueCheck,
  IssueData,
  ItemSection,
  Language,
  PassSection,
  ResultRow,
  Statement,
} from "./document/model.ts";
export {
  correctedFields,
  languages,
  languagesOf,
  type Amends,
  type CertificateTerms,
  type Correction,
  type Fate,
} from "./document/issue-data.ts";
export { correctableTexts, type CorrectableText } from "./document/correctable-texts.ts";
export { itemLabel, type ItemLabel } from "./document/item-label.ts";
export { issueDay } from "./document/issue-day.ts";
export { certificateNumber } from "./document/certificate-number.ts";
export { renderCertificate, type CertificateInput, type RenderedCertificate } from "./render/render-certificate.ts";
export { renderLabel, type LabelContent } from "./render/label.ts";
export { pictureFile, type LaboratoryPictures, type PictureFile } from "./render/picture-file.ts";
export { logHash } from "./render/log-hash.ts";
export { attachedFile, type Inflate } from "./document/verify/attached-file.ts";
export { changedFigures } from "./document/verify/changed-figures.ts";
export type { VerifyDifference } from "./document/verify/compare-results.ts";
export {
  verifyCertificate,
  type VerifyFinding,
  type VerifyInput,
  type VerifyReport,
} from "./document/verify/verify-certificate.ts";
export type { StatedCertificate } from "./document/verify/stated-certificate.ts";

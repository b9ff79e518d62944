export type { Place } from "./document/place.ts";
export type { FieldError } from "./document/field-error.ts";
export { TextDocument } from "./document/text-document.ts";
export { readDocument } from "./document/read-document.ts";
export { loadDocument, type LoadOptions } from "./document/load-document.ts";
export { loadJob } from "./job/load-job.ts";

import { Fault, failure, success, unwrap, type Outcome } from "#fault";
import { canonicalJson, type Finding, type KitEntry, type KitRevision, type Records } from "#records";
import {
  earlierChecks,
  evaluateUpkeep,
  upkeepDocumentSchema,
  type ProposedRevision,
  type UpkeepDocument,
  type UpkeepResult,
} from "#upkeep";

/** A document of upkeep as it was kept, with what it comes to. */
export interface KeptUpkeep {
  /** Its number among the findings. */
  readonly finding: number;
  readonly result: UpkeepResult;
  /** Revision of the kit entry that came of it; null while nobody approved it. */
  readonly revision: number | null;
}

export interface Approval {
  readonly by: string;
  readonly reason: string;
}

/** The document of a finding; null for a finding of another sort. */
export const documentIn = ({ document }: Pick<Finding, "document">): UpkeepDocument | null => {
  const parsed = upkeepDocumentSchema.safeParse(document);
  return parsed.success ? parsed.data : null;
};

/** Documents of a kit entry that are in the records. */
const documentsOf = async (records: Records, entry: string): Promise<UpkeepDocument[]> =>
  (await records.listFindings(entry)).flatMap((finding) => {
    const document = documentIn(finding);
    return document === null ? [] : [document];
  });

const entryIdOf = (document: UpkeepDocument): string =>
  document.kind === "characterisation" ? document.source.id : (document.reference?.id ?? "");

/** A check with the earlier ones of the records as its history, where it brings none: so it stays whole by itself. */
export const withHistory = async (records: Records, document: UpkeepDocument): Promise<UpkeepDocument> => {
  if (document.kind !== "reference-check" || document.earlier.length > 0) return document;
  const known = await documentsOf(records, document.reference.id);
  return { ...document, earlier: earlierChecks(known, document) };
};

/** Fields of the proposed entry that the test changed; a change of sensor.r0 is one of sensor. */
const changedKeys = ({ changes }: ProposedRevision): string[] => [
  ...new Set(changes.map(({ field }) => field.split(".")[0]!)),
];

const noted = (evidence: Readonly<Record<string, string | undefined>>, keys: readonly string[], finding: number) =>
  Object.fromEntries(
    Object.entries(evidence).map(([key, text]) => [key, keys.includes(key) ? `${text}, finding ${finding}` : text]),
  );

/**
 * The entry to be recorded: what the test changed, put on the newest revision in the records, so that nothing that was
 * revised meanwhile is undone. @throws Fault `records.conflict` where the coefficients themselves were changed meanwhile
 */
const onNewest = (
  proposed: ProposedRevision,
  before: UpkeepDocument,
  newest: KitEntry | undefined,
  finding: number,
): ProposedRevision["entry"] => {
  const keys = changedKeys(proposed);
  const { entry } = proposed;
  if (newest !== undefined && newest.kind !== proposed.kind)
    throw new Fault("records.conflict", `${entry.id} is the name of a ${newest.kind} in these records.`, {
      data: { entry: entry.id, kind: newest.kind },
    });
  const base = (newest?.entry ?? entry) as ProposedRevision["entry"];
  if (keys.includes("sensor") && newest?.kind === "reference" && before.kind === "reference-check") {
    if (canonicalJson(newest.entry.sensor) !== canonicalJson(before.reference.sensor))
      throw new Fault(
        "records.conflict",
        `The coefficients of ${entry.id} were changed after this check was made. Make the check again with revision ${newest.entry.revision}.`,
        { data: { entry: entry.id, revision: newest.entry.revision } },
      );
  }
  const changed = Object.fromEntries(keys.map((key) => [key, entry[key as keyof typeof entry]]));
  const calibration = keys.includes("sensor") ? { calibration: (entry as { calibration: unknown }).calibration } : {};
  const characterised = proposed.kind === "source" ? { characterised: proposed.entry.characterised } : {};
  return {
    ...base,
    ...changed,
    ...calibration,
    ...characterised,
    evidence: noted({ ...base.evidence, ...entry.evidence }, keys, finding),
  } as ProposedRevision["entry"];
};

/**
 * Approves what a kept document came to: it becomes the kit entry's next revision, and budgets of jobs with that revision have
 * it. A failure where nothing follows from it, or where it was made on a simulated bench.
 */
export const approveUpkeep = async (
  records: Records,
  finding: Finding,
  approval: Approval,
): Promise<Outcome<number>> => {
  const document = documentIn(finding);
  if (document === null) return failure("records.not-found", `Finding ${finding.number} is no test of a kit entry.`);
  const result = unwrap(evaluateUpkeep(document));
  if (result.revision === null)
    return failure("run.not-allowed", `Nothing in the kit changes by this test: ${result.statement}`, {
      finding: finding.number,
    });
  if (document.rehearsal)
    return failure(
      "run.not-allowed",
      "This test was made on a simulated bench. It is no evidence about real equipment, and cannot become a revision of the kit.",
      { finding: finding.number },
    );
  const [newest] = await records.listKit(finding.entry);
  const {
    channel: _wiring,
    revision: _number,
    ...entry
  } = {
    channel: undefined,
    ...onNewest(result.revision, document, newest, finding.number),
  };
  return success(
    await records.reviseKit({
      kind: result.revision.kind,
      entry,
      author: approval.by,
      reason: `${approval.reason} (finding ${finding.number})`,
    } as KitRevision),
  );
};

/** Keeps a document of upkeep, evaluated with the history in the records; approves it where somebody does. */
export const keepUpkeep = async (
  records: Records,
  document: UpkeepDocument,
  approval: Approval | null,
): Promise<Outcome<KeptUpkeep>> => {
  const entry = entryIdOf(document);
  if (entry === "")
    return failure(
      "input.invalid",
      "The document names no kit entry, so there is nothing to keep it with. Say which reference it was (reference).",
    );
  const whole = await withHistory(records, document);
  const result = evaluateUpkeep(whole);
  if (!result.ok) return result;
  const number = await records.keepFinding({
    entry,
    kind: whole.kind,
    at: whole.at,
    author: whole.by,
    document: whole,
  });
  if (approval === null) return success({ finding: number, result: result.value, revision: null });
  const finding = { entry, kind: whole.kind, at: whole.at, author: whole.by, document: whole, number, saved: whole.at };
  const revision = await approveUpkeep(records, finding, approval);
  return revision.ok ? success({ finding: number, result: result.value, revision: revision.value }) : revision;
};

/** A contact followed from reading to reading. `closed` is the state that it is steady in, until it has changed for good. */
export interface ContactWatch {
  readonly closed: boolean;
  /** Last reading in that state before it was left, s; null before the first reading. */
  readonly steadyUntil: number | null;
  /** First reading of the present stretch in the other state, s. */
  readonly otherSince: number | null;
  /** How often it fell back since it was left for the first time. */
  readonly bounces: number;
  /** Since when it is back after it was left, s. */
  readonly backSince: number | null;
  readonly change: ContactChange | null;
}

/** A change that lasted. Chatter lies between `from` and `to`. */
export interface ContactChange {
  readonly closed: boolean;
  readonly from: number;
  readonly to: number;
  readonly bounces: number;
}

/** So long must a contact rest in its old state for a departure from it to be over, in times of the hold. */
const backFor = 6;

export const watchContact = (closed: boolean): ContactWatch => ({
  closed,
  steadyUntil: null,
  otherSince: null,
  bounces: 0,
  backSince: null,
  change: null,
});

const rested = (watch: ContactWatch, time: number): ContactWatch => ({
  ...watch,
  steadyUntil: time,
  otherSince: null,
  bounces: 0,
  backSince: null,
});

const inOldState = (watch: ContactWatch, time: number, hold: number): ContactWatch => {
  const left = watch.otherSince !== null || watch.backSince !== null;
  if (!left) return rested(watch, time);
  if (watch.backSince !== null && watch.otherSince === null && time - watch.backSince >= backFor * hold)
    return rested(watch, time);
  return {
    ...watch,
    otherSince: null,
    bounces: watch.otherSince === null ? watch.bounces : watch.bounces + 1,
    backSince: watch.otherSince === null ? watch.backSince : time,
  };
};

const inNewState = (watch: ContactWatch, time: number, hold: number): ContactWatch => {
  const otherSince = watch.otherSince ?? time;
  const next = { ...watch, otherSince, backSince: null };
  // Two readings at least: one alone may be a bounce, however long the readings are apart.
  if (time <= otherSince || time - otherSince < hold) return next;
  const change = {
    closed: !watch.closed,
    from: watch.steadyUntil ?? otherSince,
    to: otherSince,
    bounces: watch.bounces,
  };
  return { ...next, change };
};

/**
 * Takes in one reading (0 open, 1 closed) at a time in s. A change counts once the contact has stayed in its new state for
 * `hold` s and two readings; what it did in between is bounces, and all of them lie between the change's `from` and `to`.
 * A contact that goes back and rests there for six times the hold had only flickered: that departure is forgotten.
 */
export const observeContact = (watch: ContactWatch, time: number, closed: boolean, hold: number): ContactWatch => {
  if (watch.change !== null) return watch;
  return closed === watch.closed ? inOldState(watch, time, hold) : inNewState(watch, time, hold);
};

/** Whether a contact's reading means closed. */
export const isClosed = (reading: number): boolean => reading >= 0.5;

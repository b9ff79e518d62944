/** Length of the blocks over which readings are averaged before anything is judged, s. */
export const blockLength = 10;

/** How often readiness is judged, and how far apart two positive judgements must be, s. */
export const confirmationGap = 20;

/** Length of the longer blocks in which a slow tail is looked for, s; and how many of them are kept. */
export const minuteLength = 60;
export const longestPast = 90;

/** Share of a swing that was taken out which stays in an estimate. */
export const swingLeft = 0.4;

/** A tail whose slope is seen outlasts the horizon where other lags lie in front of it; its slope is carried on for so many horizons. */
export const slopeMargin = 1.4;

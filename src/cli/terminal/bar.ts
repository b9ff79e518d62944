/** A bar of `width` characters, `share` (0 to 1) of it filled; whole characters only, so that it prints everywhere. */
export const bar = (share: number, width: number): string => {
  const bounded = Number.isFinite(share) ? Math.min(1, Math.max(0, share)) : 0;
  const filled = Math.round(bounded * width);
  return "█".repeat(filled) + "░".repeat(width - filled);
};

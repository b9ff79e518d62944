/** Reasons of the platform in words that a technician can act on; anything else keeps its own text. */
const reasons: Readonly<Record<string, string>> = {
  ECONNREFUSED: "nothing answers at that port (connection refused)",
  ENOTFOUND: "there is no host of that name",
  EAI_AGAIN: "the host's name could not be looked up",
  EHOSTUNREACH: "there is no way to that host on the network",
  ENETUNREACH: "there is no way to that network",
  ETIMEDOUT: "nobody answers there",
  ECONNRESET: "the other end broke the connection off",
  EPIPE: "the other end has closed the connection",
  ENOENT: "there is no such port on this machine",
  ENODEV: "the device is gone",
  ENXIO: "the device is gone",
  EIO: "the device does not answer, or was unplugged",
  EACCES: "this user may not use the port (on Linux: make the user a member of the group that owns it, often dialout)",
  EBUSY: "another program holds the port",
};

const told = (error: Error): string | null => {
  const code = "code" in error ? String(error.code) : "";
  if (reasons[code] !== undefined) return reasons[code];
  // The serial library puts the platform's reason into its text.
  const text = error.message;
  if (/no such file/i.test(text)) return reasons["ENOENT"]!;
  if (/permission denied|access denied/i.test(text)) return reasons["EACCES"]!;
  return /cannot lock|resource busy|temporarily unavailable/i.test(text) ? reasons["EBUSY"]! : null;
};

export const reasonOf = (error: Error): string => told(error) ?? error.message;

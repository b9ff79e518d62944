import { homedir } from "node:os";
import { join, resolve } from "node:path";

type Environment = Readonly<Record<string, string | undefined>>;

const given = (value: string | undefined): value is string => value !== undefined && value.trim() !== "";

/** Where a program keeps a user's data on this system (XDG Base Directory Specification on Linux). */
const userFolder = (environment: Environment, platform: string): string => {
  const home = homedir();
  if (platform === "win32") return join(environment["LOCALAPPDATA"] ?? join(home, "AppData", "Local"), "Dwellpoint");
  if (platform === "darwin") return join(home, "Library", "Application Support", "Dwellpoint");
  return join(
    given(environment["XDG_DATA_HOME"]) ? environment["XDG_DATA_HOME"] : join(home, ".local", "share"),
    "dwellpoint",
  );
};

/**
 * The data folder: `--data`, else `DWELLPOINT_DATA`, else the user's own. A demonstration that names none keeps its
 * invented records inside the program's folder, so that they never stand among real ones and go when the folder goes.
 */
export const chooseDataFolder = (options: {
  word: string | undefined;
  demo: boolean;
  environment: Environment;
  home: string;
  platform?: string;
}): string => {
  if (given(options.word)) return resolve(options.word);
  const fromEnvironment = options.environment["DWELLPOINT_DATA"];
  if (given(fromEnvironment)) return resolve(fromEnvironment);
  if (options.demo) return join(options.home, "data", "demo");
  return userFolder(options.environment, options.platform ?? process.platform);
};
